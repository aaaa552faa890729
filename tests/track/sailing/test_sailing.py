from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.reading.complete import Complete, complete
from cringle.track.sailing.sailing import sailing_of
from cringle.track.series import COLUMNS, Series
from cringle.track.wind.series import WindSeries
from cringle.track.wind.series import with_wind as series_with_wind
from cringle.track.wind.stream import Stream, through_water

START = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)


def log(n: int = 120, **columns: float | np.ndarray) -> Complete:
    given = {name: np.full(n, np.nan) for name in COLUMNS}
    given |= {name: np.broadcast_to(np.asarray(value, float), (n,)).copy() for name, value in columns.items()}
    return complete(Series(start=START, **given))


def with_wind(found: Complete, twd: np.ndarray, tws: np.ndarray) -> Complete:
    sd = np.ones(twd.size)
    return series_with_wind(found, WindSeries(twd, tws, sd, sd, "track", "entered"))


def test_over_ground_without_instruments():
    found = sailing_of(with_wind(log(sog=5.0, cog=10.0), np.full(120, 55.0), np.full(120, 9.0)))
    assert_allclose(found.speed_kn, 5.0)
    assert_allclose(found.angle_deg, 45.0)
    assert_allclose(found.wind_kn, 9.0)
    assert_allclose(found.to_windward_kn(), 5.0 * np.cos(np.radians(45.0)))


def test_a_stream_is_taken_off():
    winded = with_wind(log(sog=5.0, cog=90.0), np.full(120, 135.0), np.full(120, 9.0))
    found = sailing_of(through_water(winded, Stream((1.0,), (90.0,))))
    assert_allclose(found.speed_kn, 4.0)


def test_speed_through_the_water_goes_before_speed_over_ground():
    winded = with_wind(log(sog=5.0, cog=90.0, stw=4.5), np.full(120, 135.0), np.full(120, 9.0))
    assert_allclose(sailing_of(winded).speed_kn, 4.5)


def test_heel_is_positive_to_leeward_and_a_turned_sensor_is_turned_back():
    side = np.repeat([1.0, -1.0], 60)
    twa = 45.0 * side
    wind = {"twa": twa, "awa": twa * 0.7, "twd": 0.0, "tws": 10.0}
    good = sailing_of(log(sog=5.0, cog=(0.0 - twa) % 360.0, roll=-14.0 * side, **wind))
    turned = sailing_of(log(sog=5.0, cog=(0.0 - twa) % 360.0, roll=14.0 * side, **wind))
    assert np.nanmean(good.heel_deg) == pytest.approx(14.0)
    assert_allclose(turned.heel_deg, good.heel_deg)


def test_rows_and_instants():
    found = sailing_of(with_wind(log(sog=5.0, cog=10.0), np.full(120, 55.0), np.full(120, 9.0)))
    assert found.at(30) == START + timedelta(seconds=30)
    assert found.row_of(START + timedelta(seconds=31.4)) == 31
    assert found.row_of(START - timedelta(hours=1)) == 0
    assert found.row_of(START + timedelta(hours=1)) == 119


def test_unknown_stays_unknown():
    found = sailing_of(log(lat=54.0, lon=-5.0))
    assert np.isnan(found.angle_deg).all()
    assert replace(found).rows == 120
