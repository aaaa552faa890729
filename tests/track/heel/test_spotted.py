"""Heel from few readings: read, held against the target, with an interval that is wide."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from statsmodels.stats.proportion import proportion_confint

from cringle.errors import LogError
from cringle.track.debrief.debrief import DebriefOptions, debrief
from cringle.track.debrief.race import RaceOptions
from cringle.track.frozen_polar import sketch_polar
from cringle.track.heel.discipline import HeelRows
from cringle.track.heel.spotted import (
    HeelSpotted,
    Spotted,
    read_spotted,
    sparse_heel,
    spotted_heel,
    wilson,
)
from cringle.track.ledger.ledger import RUN, UPWIND
from cringle.track.reading.complete import complete
from cringle.track.reading.merge import merge_heel
from cringle.track.reading.read import read_log
from cringle.track.series import series_of
from cringle.track.simulator.options import SimCrew, SimOptions, SimSensors
from cringle.track.simulator.simulate import SimBoat, simulate
from cringle.track.simulator.write import write_csv

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def rows(size: int = 600) -> HeelRows:
    """Return ten minutes, half beat and half run, to be sailed at 15 and 5 degrees."""
    kind = np.where(np.arange(size) < size // 2, UPWIND, RUN).astype(np.int8)
    target = np.where(kind == UPWIND, 15.0, 5.0)
    return HeelRows(np.full(size, np.nan), target, np.full(size, 10.0), kind, np.zeros(size, dtype=np.int64))


def spotted(heels: list[float], *, first: int = 0, step: int = 30, steady: bool = True) -> HeelSpotted | None:
    readings = [Spotted(START + timedelta(seconds=first + step * n), heel) for n, heel in enumerate(heels)]
    return spotted_heel(readings, rows(), start=START, steady=np.full(600, steady))


def test_a_share_with_its_interval_and_a_mean() -> None:
    found = spotted([15.0, 16.0, 14.0, 20.0, 15.0, 16.0, 19.0, 15.0])
    assert found is not None
    up = found.upwind
    assert up is not None
    assert (found.given, up.count, up.in_band, found.run) == (8, 8, 6, None)
    assert_allclose([up.in_band_share, up.error_mean_deg], [0.75, 1.25])
    assert up.in_band_share_low < 0.5
    assert up.in_band_share_high > 0.85
    assert up.error_mean_deg_low < 0.0
    assert up.error_mean_deg_high > 2.0
    assert found.whole == up


def test_readings_off_the_legs_or_in_a_manoeuvre_do_not_count() -> None:
    unsteady = spotted([15.0] * 8, steady=False)
    assert unsteady == HeelSpotted(8, None, None, None)
    early = spotted([15.0] * 12, first=-240)
    assert early is not None
    assert early.upwind is None  # four are left, too few
    assert spotted([]) is None


@pytest.mark.parametrize(("hits", "count"), [(0, 8), (3, 9), (14, 20), (20, 20)])
def test_wilsons_interval_is_that_of_a_reference_library(hits: int, count: int) -> None:
    assert_allclose(wilson(hits, count), proportion_confint(hits, count, 0.1, "wilson"), atol=2e-4)


def test_a_list_with_times_of_day_and_with_dates(tmp_path: Path) -> None:
    path = tmp_path / "spotter.csv"
    path.write_text("time,heel_deg,note\n18:35,14,puff\n18:36:20,-2,\n2026-06-17T17:40:00Z,11,\n", "utf-8")
    found = read_spotted(path, start=START, time_zone="Europe/London")
    assert [one.at - START for one in found] == [
        timedelta(minutes=5),
        timedelta(minutes=6, seconds=20),
        timedelta(minutes=10),
    ]
    assert [one.heel_deg for one in found] == [14.0, -2.0, 11.0]
    path.write_text("time,heel_deg\n00:10,4\n", "utf-8")
    (late,) = read_spotted(path, start=START + timedelta(hours=5), time_zone="Europe/London")
    assert late.at == datetime(2026, 6, 17, 23, 10, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("time,heel\n18:35,4\n", ":1: no column heel_deg"),
        ("time,heel_deg\n18:35,much\n", ":2: .*could not convert"),
        ("time,heel_deg\n18:35,4\nlate,4\n", ":3: "),
        ("time,heel_deg\n18:35,88\n", ":2: heel 88; accepted: up to 60"),
        ("time,heel_deg\n18:35\n", ":2: "),
    ],
)
def test_a_list_that_cannot_be_read(tmp_path: Path, text: str, match: str) -> None:
    path = tmp_path / "spotter.csv"
    path.write_text(text, "utf-8")
    with pytest.raises(LogError, match=match):
        read_spotted(path, start=START, time_zone="UTC")
    with pytest.raises(LogError, match="cannot be read"):
        read_spotted(tmp_path / "none.csv", start=START, time_zone="UTC")


@pytest.fixture(scope="module")
def boat() -> SimBoat:
    sensors = SimSensors(rate_hz=1.0, instruments=True, heel=True)
    crew = replace(SimCrew(), heel_bias_deg=3.0)
    return simulate(SimOptions(sensors=sensors, crew=crew), sketch_polar(), 8).boats[0]


def test_a_record_stays_a_record(boat: SimBoat) -> None:
    track = boat.track()
    log = complete(series_of(track))
    seconds = track["time"].dt.epoch("us").to_numpy() / 1e6
    same, readings = sparse_heel(log, seconds, track["roll"].to_numpy())
    assert same is log
    assert readings == ()
    assert sparse_heel(log, seconds, np.full(seconds.size, np.nan)) == (log, ())


def test_a_heel_file_of_a_reading_a_minute_is_few_readings(boat: SimBoat, tmp_path: Path) -> None:
    """The share of the whole record lies in the interval of the few, and the ledger leaves heel out."""
    whole, log, heel = tmp_path / "whole.csv", tmp_path / "log.csv", tmp_path / "heel.csv"
    blind = {name: one for name, one in boat.fixes.columns.items() if name != "roll"}
    whole.write_bytes(write_csv(boat.fixes, boat.name))
    log.write_bytes(write_csv(replace(boat.fixes, columns=blind), boat.name))
    track = read_log(whole).track.select("time", "roll").gather_every(40)
    times = track["time"].dt.strftime("%Y-%m-%dT%H:%M:%SZ").to_list()
    lines = [f"{at},{roll}" for at, roll in zip(times, track["roll"].to_list(), strict=True)]
    heel.write_text("\n".join(["time_utc,roll_deg", *lines]) + "\n", "utf-8")
    options = DebriefOptions(race=RaceOptions(sketch_polar()))
    dense = debrief(read_log(whole), name="whole", options=options).race
    found = debrief(merge_heel(read_log(log), heel), name="few", options=options)
    race = found.race
    assert dense is not None
    assert dense.heel is not None
    assert dense.spotted is None
    assert race is not None
    assert race.heel is None
    assert race.ledger is not None
    assert not race.ledger.heel_known
    assert race.spotted is not None
    few, all_ = race.spotted.upwind, dense.heel.upwind
    assert few is not None
    assert all_ is not None
    assert few.in_band_share_low <= all_.in_band_share <= few.in_band_share_high
    assert few.error_mean_deg_low <= all_.error_mean_deg <= few.error_mean_deg_high
    assert any("not how fast it" in one for one in found.unknown)
    assert not any("Heel was not recorded" in one for one in found.unknown)
