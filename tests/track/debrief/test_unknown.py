from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import polars as pl

from cringle.track.debrief.summary import wind_summary
from cringle.track.debrief.unknown import reader_sentences, what_is_unknown
from cringle.track.reading.complete import complete
from cringle.track.reading.report import ReadReport, WeekShift
from cringle.track.sailing.heel import heel_summary
from cringle.track.series import series_of

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
BOTH = np.concatenate([np.full(100, 45.0), np.full(100, -45.0)])


def said(gap_count: int = 0, **columns: np.ndarray | float) -> str:
    time = [START + timedelta(seconds=row) for row in range(200)]
    wide = {name: np.full(200, 1.0) * values for name, values in columns.items()}
    track = pl.DataFrame({"time": time, **wide}, schema_overrides={"time": pl.Datetime("us", "UTC")})
    log = complete(series_of(track))
    wind, heel = wind_summary(log.series), heel_summary(log.series)
    return " ".join(what_is_unknown(log, wind=wind, heel=heel, gap_count=gap_count))


FULL = {
    "sog": 5.0,
    "cog": 1.0,
    "stw": 5.0,
    "hdg": 1.0,
    "awa": BOTH * 0.7,
    "aws": 14.0,
    "twa": BOTH,
    "tws": 10.0,
}


def test_positions_alone() -> None:
    words = said(sog=5.0, cog=1.0)
    assert "no wind" in words
    assert "Heel was not recorded" in words
    assert "Speed through the water was not recorded" in words


def test_everything_measured_but_no_target() -> None:
    words = said(**FULL, twd=90.0, roll=np.where(BOTH > 0, -10.0, 10.0))
    assert words.startswith("No heel target is set")


def test_sensor_turned_round() -> None:
    assert "wrong way round" in said(**FULL, roll=np.where(BOTH > 0, 10.0, -10.0))


def test_heel_without_wind() -> None:
    assert "leeward side is not known" in said(sog=5.0, cog=1.0, roll=5.0)


def test_no_compass() -> None:
    assert "no compass" in said(**{name: value for name, value in FULL.items() if name != "hdg"})


def test_magnetic_compass_and_no_direction() -> None:
    assert "headings are magnetic" in said(sog=5.0, hdg_mag=1.0)
    assert "neither compass nor course" in said(tws=5.0, twa=50.0)


def test_apparent_wind_angle_without_its_speed() -> None:
    assert "true wind cannot be worked out" in said(sog=5.0, cog=1.0, awa=40.0)


def test_pauses() -> None:
    assert "a pause without" in said(gap_count=1, sog=5.0)
    assert "3 pauses without" in said(gap_count=3, sog=5.0)


WAY = 1e-5 * np.arange(200)


def test_a_boat_that_never_left_and_a_log_of_one_fix() -> None:
    noise = 1e-5 * np.sin(np.arange(200))
    assert said(lat=54.0 + noise, lon=10.0).startswith("All fixes lie within 2 m: the boat did not leave")
    assert "did not leave" not in said(lat=54.0 + 3.0 * WAY, lon=10.0)
    assert "did not leave" not in said(lat=54.0, lon=10.0, sog=5.0, cog=0.0)
    one = np.full(200, np.nan)
    one[:1] = 54.0
    assert said(lat=one, lon=one).startswith("The log holds one fix")


def test_a_clock_that_runs_backwards() -> None:
    north = {"lat": 54.0 + 2.5 * WAY, "lon": 10.0, "sog": 5.4}
    assert "runs backwards" in said(**north, cog=180.0)
    assert "runs backwards" not in said(**north, cog=10.0)
    assert "runs backwards" not in said(**{**north, "sog": 0.5}, cog=180.0)
    assert "runs backwards" not in said(lat=54.0 + 2.5 * WAY, lon=10.0)


def test_what_the_reader_noticed() -> None:
    report = ReadReport("csv", "0" * 64, 1, 1, 1, {}, notes=("columns not known and left out: x",))
    assert reader_sentences(report) == ("Columns not known and left out: x.",)
    shift = WeekShift(START - timedelta(weeks=1024), START, 1024)
    (told,) = reader_sentences(replace(report, notes=(), shifted_weeks=shift))
    assert "2006-11-01, are most likely 1024 weeks early (it would be 2026-06-17)" in told
    assert "--shift-weeks 1024" in told
