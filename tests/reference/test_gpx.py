"""Reading GPX against another parser, point by point."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import gpxpy
import gpxpy.gpx
import numpy as np
import pytest

from cringle.track.reading.read import TrackLog, read_log

TRACK = Path(__file__).parent.parent / "data" / "gpx" / "upwind-tacks-2008.gpx"
GPXPY = "gpxpy 1.6.2, point by point"


def theirs(path: Path) -> np.ndarray:
    document = gpxpy.parse(path.read_text(encoding="utf-8"))
    points = [point for track in document.tracks for segment in track.segments for point in segment.points]
    return np.array([(one.latitude, one.longitude, one.time.timestamp()) for one in points])


def ours(log: TrackLog) -> np.ndarray:
    seconds = log.track["time"].dt.epoch("us").to_numpy() / 1e6
    return np.column_stack([log.track["lat"].to_numpy(), log.track["lon"].to_numpy(), seconds])


def test_every_point_of_a_real_track(outside: Any) -> None:
    outside.close(
        id="GPX-track",
        what="upwind-tacks-2008.gpx: latitude, longitude and time of 1105 points",
        got=ours(read_log(TRACK)),
        expected=theirs(TRACK),
        source=GPXPY,
    )


@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_what_another_program_writes(outside: Any, tmp_path: Path, version: str) -> None:
    path = tmp_path / "again.gpx"
    document = gpxpy.parse(TRACK.read_text(encoding="utf-8"))
    for point in document.tracks[0].segments[0].points:
        point.speed, point.course = 4.0, 270.0
    path.write_text(document.to_xml(version=version), encoding="utf-8")
    log = read_log(path)
    outside.close(
        id=f"GPX-written-{version}",
        what=f"the same points written as GPX {version} by another program",
        got=ours(log),
        expected=theirs(path),
        source=GPXPY,
    )
    if version == "1.0":
        outside.close(
            id="GPX-speed-1.0",
            what="speed [kn] and course of GPX 1.0, where speed is in m/s",
            got=[log.track["sog"].mean(), log.track["cog"].mean()],
            expected=[4.0 * 3600.0 / 1852.0, 270.0],
            rtol=1e-12,
            source="GPX 1.0 developer's manual: speed is in metres per second",
            memory=True,
        )


def test_the_track_is_that_of_the_log_it_was_made_from(outside: Any) -> None:
    log = read_log(TRACK.parent.parent / "logs" / "upwind-tacks-2008.log")
    outside.close(
        id="GPX-log",
        what="the GPX track and the NMEA log read alike: latitude, longitude [deg] and time [s]",
        got=ours(log),
        expected=ours(read_log(TRACK)),
        atol=5.1e-7,
        source="the GPX file was made from the log by other means",
    )
