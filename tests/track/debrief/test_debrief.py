"""The whole debrief: the demo's evening with its truth, recorded logs, and logs that hold almost nothing."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from types import ModuleType

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.track.debrief.as_json import as_json
from cringle.track.debrief.debrief import Debrief, DebriefOptions, debrief
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.reading.report import ReadReport
from cringle.track.sailing.heel import HeelBand
from cringle.track.schema import TRACK_SCHEMA

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def tracklog(seconds: np.ndarray, **columns: np.ndarray | float) -> TrackLog:
    time = [START + timedelta(seconds=float(one)) for one in seconds]
    wide = {name: np.full(seconds.size, 1.0) * values for name, values in columns.items()}
    track = pl.DataFrame({"time": time, **wide}, schema_overrides={"time": pl.Datetime("us", "UTC")})
    missing = [
        pl.lit(None, kind).alias(name) for name, kind in TRACK_SCHEMA.items() if name not in track.columns
    ]
    return TrackLog(
        track.with_columns(missing).select(list(TRACK_SCHEMA)), {}, ReadReport("nmea", "0" * 64, 1, 1, 1, {})
    )


def only(seconds: np.ndarray, **columns: np.ndarray | float) -> Debrief:
    return debrief(tracklog(seconds, **columns), name="x.nmea")


@pytest.fixture(scope="module")
def evening(examples: Path) -> Debrief:
    wanted = DebriefOptions(lambda _: {"upwind": HeelBand(13.0, 17.0, "given")}, "Europe/London", "Brindle")
    return debrief(read_log(examples / "evening.nmea"), name="evening.nmea", options=wanted)


def test_the_demos_evening_agrees_with_its_truth(evening: Debrief, evenings: ModuleType) -> None:
    truth = evenings.sail(evenings.Plan()).manoeuvres
    found = [((one.at - START).total_seconds(), one.kind) for one in evening.manoeuvres or ()]
    assert [kind for _, kind in found] == [kind for _, kind in truth]
    assert_allclose([second for second, _ in found], [second for second, _ in truth], atol=2.0)


def test_the_demos_evening_in_numbers(evening: Debrief, evenings: ModuleType) -> None:
    plan = evenings.Plan()
    assert evening.wind is not None
    assert evening.heel is not None
    assert_allclose(evening.wind.twd_mean_deg, plan.wind_from_deg, atol=2.0)
    assert_allclose(evening.wind.tws_mean_kn, plan.wind_kn, atol=0.6)
    up = evening.heel.by_point_of_sail["upwind"]
    assert up is not None
    assert_allclose(up.mean_deg, plan.heel_deg, atol=1.5)
    assert up.in_band_share is not None
    assert 0.4 < up.in_band_share < 0.8
    assert evening.log.lines_skipped == {"bad_checksum": evenings.BAD_LINES}
    assert_allclose(evening.distance_nm, 3.12, atol=0.02)
    assert evening.duration_s == 2204.0


def test_the_band_is_asked_for_with_the_wind_of_the_day(examples: Path) -> None:
    asked = []

    def bands(wind_kn: float | None) -> dict[str, HeelBand]:
        asked.append(wind_kn)
        return {}

    debrief(read_log(examples / "evening.nmea"), name="x", options=DebriefOptions(bands))
    assert_allclose(asked, [10.7], atol=0.1)


def test_motoring_gives_no_manoeuvre(logs: Path) -> None:
    found = debrief(read_log(logs / "motoring-2014.log", date=date(2014, 6, 1)), name="m")
    assert (found.tacks, found.gybes) == (0, 0)
    assert sum((found.refused or {}).values()) > 10


def test_moored_boat(logs: Path) -> None:
    found = debrief(read_log(logs / "malformed-xdr-2014.log"), name="m")
    assert (found.tacks, found.gybes, len(found.turns)) == (0, 0, 0)
    assert found.distance_nm < 0.02


def test_without_wind_turns_are_counted_and_tacks_are_not_known() -> None:
    heading = np.concatenate([np.full(100, 10.0), np.linspace(10, 100, 10), np.full(100, 100.0)])
    found = only(np.arange(210.0), lat=54.0, lon=-5.0, sog=5.0, cog=heading)
    assert (found.tacks, found.gybes) == (None, None)
    assert len(found.turns) == 1
    assert found.heel is None
    assert as_json(found)["tacks"] is None
    assert found.unknown[0].startswith("The log carries no wind")


def test_one_fix() -> None:
    found = only(np.array([0.0]), lat=54.0, lon=-5.0)
    assert (found.distance_nm, found.duration_s, found.turns) == (0.0, 0.0, ())


def test_no_position_at_all() -> None:
    found = only(np.arange(100.0), sog=5.0)
    assert found.picture.lines == ()
    assert found.distance_nm == 0.0


@pytest.mark.parametrize("hertz", [0.2, 1.0, 10.0, 50.0])
def test_distance_does_not_depend_on_the_rate(hertz: float) -> None:
    seconds = np.arange(0.0, 600.0, 1.0 / hertz)
    noise = np.random.default_rng(1).normal(0.0, 1e-7, seconds.size)
    found = only(seconds, lat=54.0 + seconds * 2.5e-5 + noise, lon=-5.0)
    assert_allclose(found.distance_nm, (seconds[-1]) * 2.5e-5 * 60.1, rtol=0.01)


def test_over_the_antimeridian_and_near_the_pole() -> None:
    seconds = np.arange(0.0, 300.0)
    lon = (179.99 + seconds * 1e-4 + 180.0) % 360.0 - 180.0
    assert_allclose(only(seconds, lat=0.0, lon=lon).distance_nm, 299e-4 * 60.1, rtol=0.01)
    assert 0.0 < only(seconds, lat=89.9, lon=lon).distance_nm < 0.01


def test_two_days_in_one_file_keep_the_night_as_a_gap() -> None:
    seconds = np.concatenate([np.arange(600.0), 86_400.0 + np.arange(600.0)])
    lat = 54.0 + np.arange(1200.0) * 2e-5 + np.repeat([0.0, 0.5], 600)
    found = only(seconds, lat=lat, lon=-5.0)
    assert_allclose(found.distance_nm, 1198 * 2e-5 * 60.1, rtol=0.01)
    assert_allclose(found.gap_distance_nm, 0.5 * 60.1, rtol=0.01)


def test_a_jump_of_the_gps_is_left_out() -> None:
    lat = 54.0 + np.arange(300.0) * 2e-5
    lat[150:] += 0.01
    found = only(np.arange(300.0), lat=lat, lon=-5.0)
    assert found.faulty_steps == 1
    assert_allclose(found.distance_nm, 298 * 2e-5 * 60.1, rtol=0.01)


def test_a_boat_at_the_dock_covered_nothing() -> None:
    rng = np.random.default_rng(1)
    seconds = np.arange(1200.0)
    noise = rng.normal(0.0, 1e-5, (2, 1200))
    found = only(
        seconds, lat=54.0 + noise[0], lon=10.0 + noise[1], sog=0.1, cog=rng.uniform(0.0, 360.0, 1200)
    )
    assert found.unknown[0].startswith("All fixes lie within")
    assert found.distance_nm < 0.01
    assert found.manoeuvres is None
    (one,) = [only(np.array([0.0]), lat=54.0, lon=10.0)]
    assert one.unknown[0].startswith("The log holds one fix")
    assert (one.distance_nm, one.duration_s) == (0.0, 0.0)
