from datetime import UTC, datetime

import numpy as np
import polars as pl
from numpy.testing import assert_allclose

from cringle.physics.wind import apparent_wind
from cringle.track.distance import radii
from cringle.track.reading.complete import boat_speed, complete
from cringle.track.series import series_of
from cringle.units import degrees_to_radians, knots_to_metres_per_second, metres_per_second_to_knots

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
ROWS = 120


def log_of(**columns: np.ndarray | float):
    time = pl.datetime_range(
        START, START.replace(day=18), interval="1s", time_unit="us", time_zone="UTC", eager=True
    )[:ROWS]
    return complete(
        series_of(pl.DataFrame({"time": time, **{k: np.full(ROWS, 1.0) * v for k, v in columns.items()}}))
    )


def test_motion_comes_from_positions_where_the_log_has_none() -> None:
    north, east = (radius[0] for radius in radii(np.array([54.0])))
    clock = np.arange(ROWS)
    lat = 54.0 + np.degrees(3.0 * clock / north)
    lon = -5.0 + np.degrees(-3.0 * clock / east)
    log = log_of(lat=lat, lon=lon)
    assert log.origins.motion == "positions"
    assert_allclose(log.series.sog, metres_per_second_to_knots(3.0 * 2**0.5), rtol=1e-4)
    assert_allclose(log.series.cog, 315.0, atol=0.01)
    assert log.origins.bow == "course over ground"


def test_a_jump_of_the_gps_is_no_speed() -> None:
    lat = 54.0 + np.arange(ROWS) * 2.5e-5
    lat[60:] += 0.002
    sog = log_of(lat=lat, lon=-5.0).series.sog
    assert np.nanmax(sog) < 6.0
    assert np.isnan(sog).sum() == 4


def test_the_logs_own_motion_is_kept() -> None:
    log = log_of(lat=54.0, lon=-5.0, sog=6.0, cog=90.0)
    assert log.origins.motion == "log"
    assert_allclose(log.series.sog, 6.0)


def test_true_wind_is_worked_out_from_the_apparent_wind() -> None:
    felt = apparent_wind(
        knots_to_metres_per_second(12.0),
        degrees_to_radians(-110.0),
        boat_speed=knots_to_metres_per_second(6.0),
    )
    awa, aws = np.degrees(float(felt.angle)), metres_per_second_to_knots(float(felt.speed))
    log = log_of(sog=5.0, cog=1.0, stw=6.0, hdg=200.0, awa=awa, aws=aws)
    assert log.origins.true_wind == "apparent wind and boat speed"
    assert log.origins.wind_direction == "heading and wind angle"
    assert_allclose(log.series.tws, 12.0)
    assert_allclose(log.series.twa, -110.0)
    assert_allclose(log.series.twd, 90.0)


def test_instruments_go_before_working_out() -> None:
    log = log_of(sog=5.0, cog=1.0, stw=6.0, awa=40.0, aws=15.0, twa=55.0, tws=11.0, twd=300.0)
    assert (log.origins.true_wind, log.origins.wind_direction) == ("instruments", "instruments")
    assert_allclose(log.series.twa, 55.0)


def test_course_stands_in_for_a_missing_compass() -> None:
    log = log_of(sog=5.0, cog=350.0, twa=40.0, tws=11.0)
    assert log.origins.wind_direction == "course over ground and wind angle"
    assert_allclose(log.series.twd, 30.0)


def test_a_course_at_rest_is_none() -> None:
    log = log_of(sog=0.2, cog=350.0, twa=40.0, tws=11.0)
    assert log.origins.bow is None
    assert log.origins.wind_direction is None


def test_magnetic_heading_serves_for_turns_but_not_for_the_wind() -> None:
    log = log_of(sog=5.0, cog=350.0, hdg_mag=340.0, twa=40.0, tws=11.0)
    assert log.origins.bow == "magnetic heading"
    assert log.origins.wind_direction == "course over ground and wind angle"


def test_speed_through_water_goes_before_speed_over_ground() -> None:
    stw = np.where(np.arange(ROWS) < 60, 6.0, np.nan)
    assert_allclose(boat_speed(log_of(sog=5.0, cog=1.0, stw=stw).series)[[0, -1]], [6.0, 5.0])


def test_nothing_at_all() -> None:
    log = log_of()
    assert log.origins.motion is None
    assert log.origins.bow is None
    assert not np.isfinite(log.bow).any()
