"""Simulated logs as files: names, truth beside, and the same bytes for the same seed."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cringle.errors import InputError, OutOfRangeError
from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.reading.read import read_log
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.wind.strength import read_strength, wind_beside
from cringle.workflows.afloat import simulate
from cringle.workflows.afloat.logs_race import RaceWishes, said_or_beside
from cringle.workflows.afloat.simulate import SimRequest, book_polar, simulate_logs

SMALL = SimOptions(boats=2, laps=1, leg_m=400.0)


@pytest.fixture(autouse=True)
def quick_polar(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """Put the sketch in place of the speed model, which has its own tests."""
    if "real" not in request.node.name:
        monkeypatch.setattr(simulate, "book_polar", lambda book, sea, member: sketch_polar())


@pytest.mark.parametrize("name", ["nmea", "gpx", "csv"])
def test_files_read_like_recorded_ones(tmp_path: Path, name: str) -> None:
    files = simulate_logs(SimRequest(tmp_path / "logs", 3, name, options=SMALL))
    assert [one.log.name for one in files] == [f"Brindle.{name}", f"Sorrel.{name}"]
    truth = json.loads(files[0].truth.read_text(encoding="utf-8"))
    assert len(truth["manoeuvres"]) == files[0].tacks + files[0].gybes
    assert read_log(files[0].log).track.height == files[0].fixes


def test_a_chase_boat_reads_the_wind_and_a_debrief_finds_it(tmp_path: Path) -> None:
    options = replace(SMALL, boats=1)
    made = simulate_logs(SimRequest(tmp_path, 3, options=options))[0]
    assert made.wind == wind_beside(made.log) == tmp_path / "Brindle.wind"
    read = read_strength(made.wind)
    truth = json.loads(made.truth.read_text(encoding="utf-8"))
    assert len(read.tws_kn) == len(truth["tws_kn"])
    off = np.array(read.tws_kn) - np.array(truth["tws_kn"])
    assert abs(off.std() - 0.2) < 0.04
    assert said_or_beside(RaceWishes(), made.log).wind_csv == made.wind
    assert said_or_beside(RaceWishes(wind_kn=9.0), made.log).wind_csv is None
    none = replace(options, sensors=SimSensors(wind_record_s=0.0))
    assert simulate_logs(SimRequest(tmp_path, 3, options=none))[0].wind is None
    assert said_or_beside(RaceWishes(), made.log).wind_csv is None


def test_same_seed_same_bytes(tmp_path: Path) -> None:
    first, again = (simulate_logs(SimRequest(tmp_path / place, 5, options=SMALL)) for place in ("a", "b"))
    assert [one.log.read_bytes() for one in first] == [one.log.read_bytes() for one in again]
    assert [one.truth.read_bytes() for one in first] == [one.truth.read_bytes() for one in again]


def test_a_file_in_the_way_and_a_wrong_format(tmp_path: Path) -> None:
    (tmp_path / "logs").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="is a file"):
        simulate_logs(SimRequest(tmp_path / "logs"))
    with pytest.raises(InputError, match="nmea, gpx, csv"):
        simulate_logs(SimRequest(tmp_path / "x", format="kml"))
    assert not (tmp_path / "x").exists()


def test_real_polar_of_the_demo() -> None:
    polar: FrozenPolar = book_polar(None)
    assert "Ouzel" in polar.name
    up, run = (polar.target(10.0, upwind=upwind) for upwind in (True, False))
    assert 38.0 < up.angle_deg < 52.0
    assert 130.0 < run.angle_deg < 176.0
    assert (polar.speed_kn > 0.0).all()
    other = book_polar(None, member=3)
    assert "member 3" in other.name
    ratio = float(other.target(10.0, upwind=True).speed_kn / up.speed_kn)
    assert 0.7 < ratio < 1.3
    assert ratio != 1.0
    with pytest.raises(OutOfRangeError, match="0 to 16"):
        book_polar(None, member=17)
