from datetime import UTC, datetime, timedelta

import numpy as np
import polars as pl
from numpy.testing import assert_allclose

from cringle.track.debrief.picture import MOST_POINTS, track_picture
from cringle.track.series import Series, series_of

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def series(lat: np.ndarray, lon: np.ndarray, seconds: np.ndarray | None = None) -> Series:
    clock = np.arange(lat.size) if seconds is None else seconds
    time = [START + timedelta(seconds=int(one)) for one in clock]
    return series_of(
        pl.DataFrame(
            {"time": time, "lat": lat, "lon": lon}, schema_overrides={"time": pl.Datetime("us", "UTC")}
        )
    )


def test_sailing_into_the_wind_goes_up() -> None:
    east = series(np.full(50, 10.0), np.linspace(0.0, 0.01, 50))
    picture = track_picture(east, marks=[0, 49], wind_from_deg=90.0)
    ((across, up),) = picture.lines
    assert up[-1] > 1000.0
    assert_allclose(across, 0.0, atol=1e-6)
    assert picture.marks[1] is not None
    assert_allclose(picture.marks[1], (across[-1], up[-1]))


def test_with_the_wind_in_the_east_north_is_to_the_left() -> None:
    north = series(np.linspace(10.0, 10.01, 50), np.full(50, 3.0))
    ((across, up),) = track_picture(north, marks=[], wind_from_deg=90.0).lines
    assert across[-1] < -1000.0
    assert_allclose(up, 0.0, atol=1e-6)


def test_without_wind_north_is_up() -> None:
    north = series(np.linspace(10.0, 10.01, 50), np.full(50, 3.0))
    picture = track_picture(north, marks=[], wind_from_deg=None)
    assert not picture.wind_known
    assert picture.lines[0][1][-1] > 1000.0


def test_a_gap_parts_the_line_and_a_mark_in_it_is_nowhere() -> None:
    seconds = np.concatenate([np.arange(50), np.arange(300, 350)])
    gap = series(np.linspace(10.0, 10.01, 100), np.full(100, 3.0), seconds)
    picture = track_picture(gap, marks=[100], wind_from_deg=0.0)
    assert len(picture.lines) == 2
    assert picture.marks == (None,)


def test_a_long_log_is_thinned() -> None:
    many = series(np.linspace(10.0, 10.5, 20_000), np.full(20_000, 3.0))
    assert track_picture(many, marks=[], wind_from_deg=0.0).lines[0][0].size <= MOST_POINTS


def test_no_positions_no_lines() -> None:
    nowhere = series(np.full(30, np.nan), np.full(30, np.nan))
    assert track_picture(nowhere, marks=[3], wind_from_deg=0.0).lines == ()
