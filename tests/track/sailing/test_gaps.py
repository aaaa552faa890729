from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.sailing.gaps import across_pauses, bridged, bridged_direction
from cringle.track.series import COLUMNS, Series
from cringle.units import metres_per_second_to_knots

START = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)
METRES_A_DEGREE = 111_300.0


def north_bound(n: int, speed: float = 3.0) -> Series:
    given = {name: np.full(n, np.nan) for name in COLUMNS}
    given["lat"] = 54.0 + speed * np.arange(n) / METRES_A_DEGREE
    given["lon"] = np.full(n, -5.0)
    return Series(start=START, **given)


def holed(n: int, first: int, end: int) -> tuple[np.ndarray, np.ndarray]:
    speed, course = np.full(n, 5.0), np.full(n, 0.0)
    speed[first:end] = course[first:end] = np.nan
    return speed, course


def test_a_pause_is_filled_by_the_way_made():
    speed, course = across_pauses(north_bound(100), *holed(100, 40, 60))
    assert_allclose(speed[40:60], metres_per_second_to_knots(3.0), rtol=2e-3)
    assert_allclose(np.mod(course[40:60] + 1.0, 360.0), 1.0, atol=0.1)
    assert_allclose(speed[:40], 5.0)


def test_positions_missing_too():
    series = north_bound(100)
    series.lat[40:60] = series.lon[40:60] = np.nan
    speed, _ = across_pauses(series, *holed(100, 40, 60))
    assert_allclose(speed[40:60], metres_per_second_to_knots(3.0), rtol=2e-3)


def test_a_long_pause_stays():
    series = north_bound(300)
    speed, _ = across_pauses(series, *holed(300, 100, 200))
    assert np.isnan(speed[100:200]).all()


def test_a_pause_at_the_end_stays():
    speed, _ = across_pauses(north_bound(100), *holed(100, 90, 100))
    assert np.isnan(speed[90:]).all()


def test_without_positions_nothing_is_filled():
    series = north_bound(50)
    series.lat[:] = np.nan
    assert np.isnan(across_pauses(series, *holed(50, 10, 20))[0][10:20]).all()


def test_bridging_goes_the_short_way_round():
    values = np.array([350.0, np.nan, np.nan, np.nan, 10.0])
    assert_allclose(bridged_direction(values), [350.0, 355.0, 0.0, 5.0, 10.0], atol=1e-9)


def test_bridging_stops_at_long_pauses_and_ends():
    values = np.full(200, np.nan)
    values[[10, 12, 100]] = [1.0, 3.0, 9.0]
    got = bridged(values)
    assert got[11] == 2.0
    assert np.isnan(got[[5, 50, 150]]).all()


def test_nothing_known():
    assert np.isnan(bridged(np.full(5, np.nan))).all()
