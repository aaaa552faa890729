"""Logs as written: whole sentences, read back to what was simulated."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import gpxpy
import numpy as np
import pynmea2
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.reading.read import read_log
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import SimBoat, simulate
from cringle.track.simulator.write import FORMATS, GPX_ELEMENTS, GPX_SPACE, writer_of


@pytest.fixture(scope="module")
def boat() -> SimBoat:
    from cringle.track.frozen_polar import sketch_polar

    options = SimOptions(laps=1, leg_m=400.0, sensors=SimSensors(rate_hz=2.0, instruments=True))
    return simulate(options, sketch_polar(), 2).boats[0]


@pytest.mark.parametrize("name", list(FORMATS))
def test_read_back(tmp_path: Path, boat: SimBoat, name: str) -> None:
    path = tmp_path / f"log.{name}"
    path.write_bytes(writer_of(name)(boat.fixes, boat.name))
    log = read_log(path)
    assert log.track.height == boat.fixes.rows
    assert_allclose(log.track["lat"], boat.fixes.columns["lat"], atol=2e-8)
    stamps = log.track["time"].dt.epoch("us").to_numpy()
    assert_allclose(stamps, boat.fixes.stamps_us, atol=1000)
    assert_allclose(log.track["sog"], boat.fixes.columns["sog"], atol=0.006)
    turned = log.track["hdg"].to_numpy() - boat.fixes.columns["hdg"]
    assert np.abs(np.mod(turned + 180.0, 360.0) - 180.0)[1:].max() < 4.0
    rolled = log.track["roll"].to_numpy()[2:-1] - boat.fixes.columns["roll"][2:-1]
    assert np.abs(rolled).mean() < 1.0
    assert_allclose(log.track["stw"][2:], boat.fixes.columns["stw"][2:], atol=0.8)
    assert_allclose(log.track["aws"][2:], boat.fixes.columns["aws"][2:], atol=2.5)


def test_gpx_without_sensors_has_positions_speed_and_course_only(boat: SimBoat) -> None:
    columns = {key: boat.fixes.columns[key] for key in ("lat", "lon", "sog", "cog")}
    text = writer_of("gpx")(replace(boat.fixes, columns=columns), "A").decode()
    assert "<c:course>" in text and "<c:heel>" not in text and "wind" not in text


def test_gpx_is_read_by_another_parser(boat: SimBoat) -> None:
    text = writer_of("gpx")(boat.fixes, boat.name).decode()
    points = gpxpy.parse(text).tracks[0].segments[0].points
    assert len(points) == boat.fixes.rows
    tags = {one.tag for one in points[0].extensions}
    assert tags == {f"{{{GPX_SPACE}}}{name}" for name, _ in GPX_ELEMENTS.values()}


def test_every_sentence_is_whole_to_another_parser(boat: SimBoat) -> None:
    lines = writer_of("nmea")(boat.fixes, boat.name).decode().split("\r\n")[:200]
    kinds = {pynmea2.parse(line, check=True).sentence_type for line in lines}
    assert kinds == {"RMC", "HDT", "VHW", "MWV", "XDR"}


def test_an_unknown_format_lists_the_right_ones(sketch: FrozenPolar) -> None:
    with pytest.raises(InputError, match="nmea, gpx, csv"):
        writer_of("xml")
