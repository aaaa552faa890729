from datetime import UTC, datetime, timedelta

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.track.series import series_of

START = datetime(2026, 5, 3, 18, 0, tzinfo=UTC)


def frame(seconds: list[float], **columns: list[float | None]) -> pl.DataFrame:
    times = [START + timedelta(seconds=one) for one in seconds]
    table = {"time": times, **columns}
    schema = {"time": pl.Datetime("us", "UTC"), **dict.fromkeys(columns, pl.Float64())}
    return pl.DataFrame(table, schema=schema)


def test_fast_readings_are_averaged_in_their_second() -> None:
    track = frame([0.0, 0.5, 1.0], sog=[4.0, 6.0, 7.0], hdg=[350.0, 10.0, 90.0])
    series = series_of(track)
    assert_allclose(series.sog, [5.0, 7.0])
    assert_allclose(np.cos(np.radians(series.hdg[0])), 1.0)
    assert_allclose(series.hdg[1], 90.0)


def test_slow_readings_are_held_and_positions_bridged() -> None:
    seconds = [0.0, 2.0, 4.0, 6.0]
    track = frame(seconds, lat=[54.0, 54.2, 54.4, 54.6], lon=[1.0] * 4, sog=[4.0, 5.0, 6.0, 7.0])
    series = series_of(track)
    assert_allclose(series.sog, [4.0, 4.0, 5.0, 5.0, 6.0, 6.0, 7.0])
    assert_allclose(series.lat, 54.0 + 0.1 * np.arange(7))


def test_a_long_gap_stays_a_gap() -> None:
    track = frame([0.0, 1.0, 60.0, 61.0], lat=[54.0] * 4, lon=[1.0] * 4, sog=[5.0] * 4)
    series = series_of(track)
    assert np.isnan(series.sog[10:58]).all()
    assert np.isnan(series.lat[10:58]).all()
    assert series.sog[60] == 5.0


def test_native_rate_is_preferred_to_the_joined_column() -> None:
    track = frame([0.0, 2.0], awa=[40.0, 44.0], lat=[54.0, 54.0], lon=[1.0, 1.0])
    side = frame([0.0, 1.0, 2.0], awa=[40.0, 42.0, 44.0], aws=[10.0] * 3)
    series = series_of(track, {"apparent_wind": side})
    assert_allclose(series.awa, [40.0, 42.0, 44.0])


def test_longitude_bridges_the_antimeridian() -> None:
    track = frame([0.0, 2.0], lat=[0.0, 0.0], lon=[179.999, -179.999])
    assert_allclose(np.abs(series_of(track).lon), [179.999, 180.0, 179.999])


def test_one_fix_is_one_row() -> None:
    series = series_of(frame([0.25], lat=[54.0], lon=[1.0]))
    assert series.rows == 1
    assert series.start == START
    assert not series.has("awa")


def test_no_fix_is_refused() -> None:
    with pytest.raises(InputError, match="no fix"):
        series_of(frame([]))


def test_a_clock_that_jumps_by_months_is_refused() -> None:
    with pytest.raises(InputError, match="spans 100 days"):
        series_of(frame([0.0, 100 * 86_400.0], lat=[54.0, 54.0], lon=[1.0, 1.0]))


def test_row_to_time() -> None:
    assert series_of(frame([0.0, 9.0])).at(3) == START + timedelta(seconds=3)
