from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.trials.belief import BELIEFS, Places
from cringle.trials.response import Seen, respond

Maker = Callable[..., list[Seen]]


def at(*steps: float, wind_kn: float = 11.0) -> Places:
    return Places(np.full(len(steps), wind_kn), np.array(steps), np.zeros(len(steps)))


def expected(seen: list[Seen], place: Places) -> float:
    return float(respond(seen).summary(place)[0][0])


def test_priors_are_priors() -> None:
    found = respond([])
    assert found.chances.tolist() == [one.prior for one in BELIEFS]
    mean, sd, chance = found.summary(at(1.0, -1.0))
    curvature = sum(one.curvature * one.prior for one in BELIEFS)
    assert mean == pytest.approx([-curvature, -curvature])
    assert sd[0] == pytest.approx(sd[1])
    assert 0.2 < chance[0] < 0.5


def test_the_anchor_has_no_gain_over_itself(observations: Maker) -> None:
    for draws in respond(observations(1.5)).draws(at(0.0), 50):
        assert draws == pytest.approx(np.zeros((50, 1)), abs=1e-6)


def test_trials_find_slope_and_curvature(observations: Maker) -> None:
    seen = observations(1.5, count=8, error=0.2)
    assert expected(seen, at(1.0)) == pytest.approx(2.0, abs=0.4)
    assert expected(seen, at(-1.0)) == pytest.approx(-4.0, abs=0.5)
    found = respond(seen)
    assert BELIEFS[int(np.argmax(found.chances))].curvature in (0.5, 1.0, 2.0)


def test_flat_trials_make_flat_likely(observations: Maker) -> None:
    flat = [replace(one, gain=0.0) for one in observations(0.0, count=12, error=0.1)]
    assert respond(flat).chances[0] > 0.8


def test_knowledge_fades_with_the_wind(observations: Maker) -> None:
    seen = observations(1.5, count=6)
    spread = [float(respond(seen).summary(at(1.0, wind_kn=w))[1][0]) for w in (11.0, 14.0, 25.0)]
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


def test_draws_repeat_with_their_seed_and_agree_with_the_summary(observations: Maker) -> None:
    found = respond(observations(1.0))
    draws, again = found.draws(at(1.0, 0.5), 4000), found.draws(at(1.0, 0.5), 4000)
    assert all(np.array_equal(one, two) for one, two in zip(draws, again, strict=True))
    assert [one.shape for one in draws] == [(4000, 2)] * len(BELIEFS)
    mean, _, chance = found.summary(at(1.0, 0.5))
    assert found.chances @ [one.mean(axis=0) for one in draws] == pytest.approx(mean, abs=0.05)
    assert found.chances @ [(one > 0.0).mean(axis=0) for one in draws] == pytest.approx(chance, abs=0.02)


def test_left_out_is_what_refitting_without_it_says(
    observations: Maker, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cringle.trials.response.TAIL_FREEDOM", 1e9)
    seen, place = observations(1.0, count=7, error=0.8), at(1.0, 0.5, wind_kn=12.0)
    without = respond(seen).expected_without(place)
    for number in range(7):
        rest = respond([one for other, one in enumerate(seen) if other != number])
        assert without[number] == pytest.approx(rest.summary(place)[0], rel=1e-5, abs=1e-6)


def test_two_that_did_not_swap_on_one_day_share_the_difference_of_the_boats() -> None:
    one_day = [Seen(11.0, 1.0, 0.0, 3.0, 0.3, "day 1", swapped=False) for _ in range(2)]
    two_days = [replace(one, outing=f"day {n}") for n, one in enumerate(one_day)]
    assert expected(one_day, at(1.0)) < expected(two_days, at(1.0)) - 0.1


def test_who_carried_the_change_turns_the_difference_of_the_boats() -> None:
    alike = [Seen(11.0, 1.0, 0.0, 3.0, 0.3, "day 1", swapped=False, carrier=one) for one in (1, 1)]
    crossed = [replace(one, carrier=who) for one, who in zip(alike, (1, -1), strict=True)]
    assert expected(crossed, at(1.0)) > expected(alike, at(1.0)) + 0.3


def test_what_is_said_of_a_day_from_elsewhere_is_believed() -> None:
    seen = [Seen(11.0, 1.0, 0.0, 3.0, 0.3, "day 1", swapped=False)]
    boats_differ = respond(seen, {("day 1", "boats"): (3.0, 0.01)})
    alike = respond(seen, {("day 1", "boats"): (0.0, 0.01)})
    assert boats_differ.summary(at(1.0))[0][0] < 0.5 < alike.summary(at(1.0))[0][0]


def test_a_day_tells_of_itself() -> None:
    quiet = [Seen(wind, 1.0, 0.0, 0.0, 0.1, "day 0") for wind in (8.0, 11.0, 14.0) for _ in range(4)]
    unequal = [Seen(11.0, 1.0, 0.0, 4.0, 0.1, "day 1", swapped=False)]
    said = respond([*quiet, *unequal]).day_messages()
    precision, weighted = said["day 1", "boats"]
    assert weighted / precision == pytest.approx(4.0, abs=0.5)
    assert respond([]).day_messages() == {}
