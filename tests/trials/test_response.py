from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.trials.response import CURVATURE_PRIOR, CURVATURES, Places, Seen, kernel, prior_mean, respond

Maker = Callable[..., list[Seen]]


def at(*steps: float, wind_kn: float = 11.0) -> Places:
    return Places(np.full(len(steps), wind_kn), np.array(steps), np.zeros(len(steps)))


def expected(seen: list[Seen], place: Places) -> float:
    found = respond(seen)
    return float(sum(c * m[0][0] for c, m in zip(found.chances, found.moments(place), strict=True)))


def test_priors_are_priors() -> None:
    assert sum(CURVATURE_PRIOR) == pytest.approx(1.0)
    found = respond([])
    assert found.chances.tolist() == list(CURVATURE_PRIOR)
    assert found.draws(at(0.0, 1.0, -1.0), 400).mean(axis=0)[1:] == pytest.approx([-0.9, -0.9], abs=0.6)


def test_the_anchor_has_no_gain_over_itself(observations: Maker) -> None:
    draws = respond(observations(1.5)).draws(at(0.0), 50)
    assert draws == pytest.approx(np.zeros((50, 1)), abs=1e-6)


def test_kernel_is_a_covariance() -> None:
    rng = np.random.default_rng(1)
    places = Places(rng.uniform(4, 20, 30), rng.integers(-3, 4, 30) / 2.0, rng.integers(-3, 4, 30) / 2.0)
    for curvature in CURVATURES:
        assert np.linalg.eigvalsh(kernel(places, places, curvature)).min() > -1e-9


def test_swapping_the_two_numbers_turns_the_sign() -> None:
    one = Places(np.array([11.0]), np.array([1.0]), np.array([0.0]))
    other = Places(np.array([11.0]), np.array([0.0]), np.array([1.0]))
    assert kernel(one, other, 1.0)[0, 0] == pytest.approx(-kernel(one, one, 1.0)[0, 0])
    assert prior_mean(one, 1.0)[0] == -prior_mean(other, 1.0)[0] == -1.0


def test_trials_find_slope_and_curvature(observations: Maker) -> None:
    seen = observations(1.5, count=8, error=0.2)
    assert expected(seen, at(1.0)) == pytest.approx(2.0, abs=0.4)
    assert expected(seen, at(-1.0)) == pytest.approx(-4.0, abs=0.5)
    found = respond(seen)
    assert CURVATURES[int(np.argmax(found.chances))] in (0.5, 1.0, 2.0)


def test_flat_trials_make_flat_likely(observations: Maker) -> None:
    flat = [replace(one, gain=0.0) for one in observations(0.0, count=12, error=0.1)]
    assert respond(flat).chances[0] > 0.8


def test_knowledge_fades_with_the_wind(observations: Maker) -> None:
    seen = observations(1.5, count=6)
    spread = [float(respond(seen).draws(at(1.0, wind_kn=w), 600).std()) for w in (11.0, 14.0, 25.0)]
    assert spread[0] < spread[1] < spread[2]


def test_one_wild_observation_is_not_trusted(observations: Maker) -> None:
    seen = observations(0.0, count=8)
    wild = [*seen, Seen(11.0, 1.0, 0.0, 25.0, 0.3, "day 9", name="wild")]
    found = respond(wild)
    assert found.trust[-1] < 0.2
    assert min(found.trust[:-1]) > 0.5
    assert expected(wild, at(1.0)) == pytest.approx(expected(seen, at(1.0)), abs=0.4)


def test_contradictions_count_little_and_teach_little() -> None:
    agree = [Seen(11.0, 1.0, 0.0, 1.0, 0.3, f"day {n}") for n in range(4)]
    quarrel = [Seen(11.0, 1.0, 0.0, gain, 0.3, f"day {n}") for n, gain in enumerate((4.0, -2.0, 4.0, -2.0))]
    assert min(respond(agree).trust) > 0.7
    assert max(respond(quarrel).trust) < 0.3
    assert abs(expected(quarrel, at(1.0))) < 0.5 < expected(agree, at(1.0))


def test_a_pair_that_did_not_swap_counts_less() -> None:
    swapped = [Seen(11.0, 1.0, 0.0, 3.0, 0.3, "day 1"), Seen(11.0, 1.0, 0.0, 3.0, 0.3, "day 2")]
    kept = [replace(one, swapped=False) for one in swapped]
    assert expected(kept, at(1.0)) < expected(swapped, at(1.0))


def test_draws_repeat_with_their_seed(observations: Maker) -> None:
    found = respond(observations(1.0))
    assert np.array_equal(found.draws(at(1.0), 100), found.draws(at(1.0), 100))
    assert found.draws(at(1.0, 0.5), 100).shape == (100, 2)
