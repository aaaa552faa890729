"""What the boat can do at each second, and the wind her speed goes with."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.sailing.sailing import Sailing
from cringle.track.turns.loss_possible import FOLLOW_S, SLOWEST_KN, Possible, followed

ROWS = 90


def steady(wind_kn: float = 10.0, angle_deg: float = 45.0, heel_deg: float = np.nan) -> Sailing:
    return Sailing(
        start=datetime(2026, 6, 17, 18, 0, tzinfo=UTC),
        speed_kn=np.full(ROWS, 5.0),
        course_deg=np.full(ROWS, 180.0),
        wind_from_deg=np.full(ROWS, 225.0),
        wind_kn=np.full(ROWS, wind_kn),
        angle_deg=np.full(ROWS, angle_deg),
        heel_deg=np.full(ROWS, heel_deg),
    )


def test_in_steady_wind_it_is_the_polar(sketch: FrozenPolar) -> None:
    sailing = steady(heel_deg=14.0)
    assert_allclose(Possible(sailing, sketch).pace(sailing), 5.0 / sketch.speed(10.0, 45.0, 14.0), rtol=1e-12)


def test_without_heel_the_target_heel_stands_in(sketch: FrozenPolar) -> None:
    sailing = steady()
    best = sketch.best_heel(10.0, 45.0)
    assert_allclose(Possible(sailing, sketch).pace(sailing), 5.0 / sketch.speed(10.0, 45.0, best), rtol=1e-12)


def test_without_polar_or_wind_the_pace_is_the_speed(sketch: FrozenPolar) -> None:
    sailing = steady()
    assert_allclose(Possible(sailing, None).pace(sailing), 5.0)
    blind = replace(sailing, wind_kn=np.full(ROWS, np.nan))
    assert_allclose(Possible(blind, sketch).pace(blind), 5.0)


def test_head_to_wind_the_pace_stays_finite(sketch: FrozenPolar) -> None:
    sailing = steady(angle_deg=0.0, wind_kn=2.5)
    assert_allclose(np.minimum(Possible(sailing, sketch).pace(sailing), 5.0 / SLOWEST_KN), 5.0 / SLOWEST_KN)


def test_speed_follows_a_step_of_the_wind_with_its_memory() -> None:
    wind = np.where(np.arange(ROWS) < 40, 8.0, 12.0)
    got = followed(wind)
    assert_allclose(got[:40], 8.0)
    assert_allclose(got[40:], 12.0 - 4.0 * np.exp(-(np.arange(ROWS - 40) + 1.0) / FOLLOW_S), rtol=1e-9)


def test_unknown_seconds_are_bridged() -> None:
    wind = np.full(ROWS, 9.0)
    wind[[0, 1, 30, 31, 89]] = np.nan
    assert_allclose(followed(wind), 9.0)


@given(st.lists(st.floats(3.0, 25.0), min_size=2, max_size=60))
def test_it_stays_between_the_lightest_and_the_strongest(winds: list[float]) -> None:
    got = followed(np.array(winds))
    assert got.min() >= min(winds) - 1e-9
    assert got.max() <= max(winds) + 1e-9
