"""Sets and drops found in a run whose dips are known, and left alone where there are none."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.ledger.roundings import (
    LONGEST_DROP_S,
    clear_of,
    handling_rows,
)
from cringle.track.ledger.rows import LegSpan
from cringle.track.sailing.sailing import Sailing
from cringle.track.simulator.handling import DROP_S, drop_shape, set_shape
from cringle.track.turns.loss import LONGEST_RECOVERY_S
from cringle.track.turns.loss_possible import Possible
from cringle.units import wrap_degrees

POLAR = sketch_polar()
LEGS = [
    LegSpan("up", 0, 280),
    LegSpan("reach", 280, 300),
    LegSpan("run", 300, 700),
    LegSpan("up", 700, 1000),
]


def race(*, hoist: float = 0.4, lower: float = 0.4, noise: float = 0.0, seed: int = 1) -> Sailing:
    """Return beat, reach, run and beat at a steady pace, but for the dips of a set and a drop on the run."""
    rows = np.arange(1000)
    angle = np.select([rows < 280, rows < 300, rows < 700], [44.0, 100.0, 150.0], 44.0)
    plain = Sailing(
        start=datetime(2026, 6, 17, 18, 0, tzinfo=UTC),
        speed_kn=np.full(rows.size, 5.0),
        course_deg=wrap_degrees(-angle),
        wind_from_deg=np.zeros(rows.size),
        wind_kn=np.full(rows.size, 10.0),
        angle_deg=angle,
        heel_deg=np.full(rows.size, np.nan),
    )
    pace = 0.96 + noise * np.random.default_rng(seed).standard_normal(rows.size)
    pace[300:700] *= 1.0 - hoist * set_shape(np.arange(400))
    pace[300:700] *= 1.0 - lower * drop_shape(400 - np.arange(400))
    return replace(plain, speed_kn=pace * Possible(plain, POLAR).speed_kn(rows, angle, plain.heel_deg))


def found(sailing: Sailing, crossings: tuple[int, ...] = (), polar: FrozenPolar | None = POLAR):
    return {kind: (first, end) for first, end, kind in handling_rows(sailing, LEGS, crossings, polar)}


@pytest.mark.parametrize("hoist", [0.2, 0.4, 0.6])
def test_a_set_lasts_until_95_percent_is_back(hoist: float) -> None:
    first, end = found(race(hoist=hoist))["set"]
    back = 7.0 + 9.0 * np.log(hoist / 0.05)
    assert first == 300
    assert end - 300 == pytest.approx(back, abs=2.5)


@pytest.mark.parametrize("lower", [0.2, 0.4, 0.6])
def test_a_drop_takes_the_slow_seconds_before_the_mark(lower: float) -> None:
    first, end = found(race(lower=lower))["drop"]
    assert end == 700, "the bow is round at once"
    assert 700 - first == pytest.approx(DROP_S - 1.5, abs=1.6)


def test_in_noise_too() -> None:
    ends = [found(race(noise=0.02, seed=seed)) for seed in range(12)]
    back = 7.0 + 9.0 * np.log(0.4 / 0.05)
    assert np.mean([one["set"][1] - 300 for one in ends]) == pytest.approx(back, abs=2.0)
    assert np.std([one["set"][1] for one in ends]) < 3.0
    assert all(one["drop"][0] < 695 for one in ends)


@pytest.mark.parametrize("turning", [2, 5, 9])
def test_a_drop_takes_the_turn_onto_the_beat(turning: int) -> None:
    sailing = race(lower=0.0)
    angle = sailing.angle_deg.copy()
    angle[700 : 700 + turning] = np.linspace(140.0, 60.0, turning)
    first, end = found(replace(sailing, angle_deg=angle))["drop"]
    assert end == 700 + turning
    assert first >= 699


def test_a_boat_that_never_gets_onto_the_beat_is_not_turning() -> None:
    sailing = race(lower=0.0)
    angle = sailing.angle_deg.copy()
    angle[700:715] = 100.0
    assert found(replace(sailing, angle_deg=angle))["drop"][1] == 700


def test_no_dip_no_drop_and_a_set_no_longer_than_the_turn() -> None:
    nothing = found(race(hoist=0.0, lower=0.0))
    assert nothing["drop"] == (700, 700)
    assert nothing["set"][1] - 300 <= 8


def test_a_run_to_the_finish_has_no_drop_and_one_from_nowhere_no_set() -> None:
    sailing = race()
    assert [kind for *_, kind in handling_rows(sailing, LEGS[:3], (), POLAR)] == ["set"]
    assert [kind for *_, kind in handling_rows(sailing, LEGS[2:], (), POLAR)] == ["drop"]
    assert handling_rows(sailing, LEGS[:1], (), POLAR) == []
    apart = [LEGS[0], replace(LEGS[2], first=360), replace(LEGS[3], first=760)]
    assert handling_rows(sailing, apart, (), POLAR) == []


def test_a_set_ends_at_the_next_gybe_at_the_latest() -> None:
    assert found(race(hoist=0.6), crossings=(315,))["set"] == (300, 310)


def test_a_gybe_before_the_mark_is_no_drop() -> None:
    sailing = race(lower=0.0)
    speed = sailing.speed_kn.copy()
    speed[672:] *= 1.0 - 0.4 * np.exp(-np.arange(328) / 9.0)
    assert found(replace(sailing, speed_kn=speed), crossings=(670,))["drop"] == (700, 700)


def test_a_boat_that_stays_slow_after_the_mark_is_timed_by_her_pace() -> None:
    sailing = race()
    speed = sailing.speed_kn.copy()
    speed[300:325] = 0.6
    first, end = found(replace(sailing, speed_kn=speed))["set"]
    assert first == 300
    assert 20 <= end - first <= 32


def test_without_a_polar_the_speed_tells() -> None:
    blind = found(race(), polar=None)
    assert blind["drop"][1] == 700
    assert blind["set"][0] == 300


def test_legs_clear_of_sets_and_drops() -> None:
    handled = [(300, 330, "set"), (691, 700, "drop")]
    assert clear_of(LEGS, handled) == [(0, 280), (280, 300), (330, 691), (700, 1000)]
    assert clear_of(LEGS, []) == [(one.first, one.end) for one in LEGS]
    assert clear_of([LegSpan("run", 0, 20)], [(0, 20, "set"), (8, 20, "drop")]) == [(20, 20)]


@given(
    st.lists(st.integers(0, 999), max_size=5, unique=True),
    st.floats(0.0, 0.9),
    st.floats(0.0, 0.9),
)
def test_rows_stay_inside_their_run(crossings: list[int], hoist: float, lower: float) -> None:
    for first, end, kind in handling_rows(race(hoist=hoist, lower=lower), LEGS, sorted(crossings), POLAR):
        assert 300 <= first <= end <= 700
        assert kind != "drop" or end == 700
        assert end - first <= (LONGEST_RECOVERY_S if kind == "set" else LONGEST_DROP_S)


def test_without_speed_nothing_is_found_slow() -> None:
    sailing = race()
    nothing = replace(sailing, speed_kn=np.full(1000, np.nan))
    assert found(nothing)["drop"] == (700, 700)
