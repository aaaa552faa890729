"""Steady stretches of a log as files that a fit can read."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.track.frozen_polar import sketch_polar
from cringle.track.simulator.options import SimCrew, SimOptions
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import writer_of
from cringle.workflows.afloat.logs_race import RaceWishes
from cringle.workflows.afloat.steady import steady_of_log, write_steady


@pytest.fixture(scope="module")
def race(tmp_path_factory: pytest.TempPathFactory) -> Path:
    options = SimOptions(laps=2, crew=SimCrew(board_s=(120.0, 200.0)))
    boat = simulate(options, sketch_polar(), 3).boats[0]
    path = tmp_path_factory.mktemp("race") / "race.csv"
    path.write_bytes(writer_of("csv")(boat.fixes, boat.name))
    return path


def test_stretches_with_the_wind_a_person_gave(race: Path, tmp_path: Path) -> None:
    found = steady_of_log(race, wishes=RaceWishes(wind_kn=10.0))
    assert len(found.stretches) >= 5
    assert found.wind_source == "direction: track, speed: entered"
    assert {one.kind for one in found.over} <= {"up", "run", "reach"}
    out = tmp_path / "steady.csv"
    write_steady(found, out)
    rows = list(csv.DictReader(out.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == len(found.stretches)
    assert {float(row["tws_kn"]) for row in rows} == {10.0}
    assert found.to_json()["stretches"][0]["tws_kn"] == 10.0


def test_a_log_that_does_not_tell_the_wind_says_so(tmp_path: Path) -> None:
    path = tmp_path / "straight.csv"
    rows = [
        f"2026-06-17T18:{second // 60:02d}:{second % 60:02d}Z,{54.0 + second * 2e-5:.6f},-5.0,4.3,0.0"
        for second in range(900)
    ]
    path.write_text("\n".join(["time,lat_deg,lon_deg,sog_kn,cog_deg_true", *rows]), encoding="utf-8")
    with pytest.raises(InputError, match="do not tell the wind"):
        steady_of_log(path)
