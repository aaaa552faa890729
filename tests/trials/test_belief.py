from __future__ import annotations

import numpy as np
import pytest

from cringle.trials.belief import ALL_WINDS, BELIEFS, EACH_WIND, Belief, Places, kernel, prior_mean
from cringle.trials.response import Seen, respond

EACH, ALIKE = Belief(1.0, alike=False, prior=0.5), Belief(1.0, alike=True, prior=0.5)


def place(wind_kn: float, tried: float = 1.0, reference: float = 0.0) -> Places:
    return Places(np.array([wind_kn]), np.array([tried]), np.array([reference]))


def likeness(belief: Belief, apart_kn: float) -> float:
    """Return the correlation of the same step at two winds."""
    one, other = place(10.0), place(10.0 + apart_kn)
    return float(kernel(one, other, belief)[0, 0] / kernel(one, one, belief)[0, 0])


def test_chances_and_shares_are_whole() -> None:
    assert sum(one.prior for one in BELIEFS) == pytest.approx(1.0)
    assert [one.curvature for one in BELIEFS if one.curvature == 0.0] == [BELIEFS[0].curvature]
    assert len(set(BELIEFS)) == len(BELIEFS)
    assert sum(EACH_WIND) == pytest.approx(1.0)
    assert sum(ALL_WINDS) == pytest.approx(1.0)


@pytest.mark.parametrize("belief", BELIEFS)
def test_kernel_is_a_covariance(belief: Belief) -> None:
    rng = np.random.default_rng(1)
    places = Places(rng.uniform(4, 20, 30), rng.integers(-3, 4, 30) / 2.0, rng.integers(-3, 4, 30) / 2.0)
    found = kernel(places, places, belief)
    assert found == pytest.approx(found.T)
    assert np.linalg.eigvalsh(found).min() > -1e-9


@pytest.mark.parametrize("belief", [EACH, ALIKE])
def test_swapping_the_two_numbers_turns_the_sign(belief: Belief) -> None:
    one, other = place(11.0), place(11.0, 0.0, 1.0)
    assert kernel(one, other, belief)[0, 0] == pytest.approx(-kernel(one, one, belief)[0, 0])
    assert prior_mean(one, belief)[0] == -prior_mean(other, belief)[0] == -1.0


def test_winds_far_apart_are_alike_only_where_that_is_believed() -> None:
    assert likeness(EACH, 12.0) < 0.02
    assert likeness(ALIKE, 12.0) == pytest.approx(0.7, abs=0.05)
    for belief in (EACH, ALIKE):
        fading = [likeness(belief, apart) for apart in (0.0, 1.0, 2.0, 4.0, 8.0, 16.0)]
        assert fading == sorted(fading, reverse=True)


def sailed(gains: dict[float, float]) -> list[Seen]:
    return [
        Seen(wind_kn, 1.0, -1.0, gain, 0.4, f"day {wind_kn:g} {day}")
        for wind_kn, gain in gains.items()
        for day in range(2)
    ]


def of_alike(seen: list[Seen]) -> float:
    """Return the chance that a control is off in all winds, given that it does something."""
    chances = respond(seen).chances
    alike = sum(chance for chance, one in zip(chances, BELIEFS, strict=True) if one.alike)
    return float(alike / (1.0 - chances[0]))


def test_trials_tell_which_it_is() -> None:
    same, turned = {6.0: 4.0, 11.0: 4.0, 16.0: 4.0}, {6.0: 4.0, 11.0: -4.0, 16.0: 4.0}
    assert of_alike(sailed(turned)) < 0.3
    assert of_alike(sailed(same)) > 0.6


def test_an_unsailed_wind_learns_from_the_others_when_they_agree() -> None:
    seen = sailed({6.0: 4.0, 11.0: 4.0})
    chance = respond(seen).summary(place(18.0))[2][0]
    assert chance > respond([]).summary(place(18.0))[2][0] + 0.2
