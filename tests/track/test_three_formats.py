"""The same invented evening written as NMEA 0183, GPX and CSV reads as the same track, which is the truth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.reading.merge import merge_heel
from cringle.track.reading.read import TrackLog, read_log

START = datetime(2026, 5, 3, 23, 59, 30, tzinfo=UTC)
COUNT = 90


@dataclass(frozen=True)
class Evening:
    """One value a second of everything that all three formats can carry."""

    lat: np.ndarray
    lon: np.ndarray
    sog: np.ndarray
    cog: np.ndarray
    roll: np.ndarray
    heading: np.ndarray

    @property
    def times(self) -> list[datetime]:
        """Return when each value holds: over a midnight."""
        return [START + timedelta(seconds=second) for second in range(COUNT)]


@pytest.fixture(params=[(1, 1), (1, -1), (-1, 1), (-1, -1)], ids=["NE", "NW", "SE", "SW"])
def evening(request: pytest.FixtureRequest) -> Evening:
    north, east = request.param
    random = np.random.default_rng(20260503)
    walk = random.normal(0.0, 1e-5, (2, COUNT)).cumsum(axis=1)
    return Evening(
        lat=np.round(north * (54.3 + walk[0]), 6),
        lon=np.round(east * (0.0005 + walk[1]), 6),
        sog=np.round(random.uniform(0.0, 15.0, COUNT), 2),
        cog=np.round(random.uniform(0.0, 359.9, COUNT), 1),
        roll=np.round(random.uniform(-40.0, 40.0, COUNT), 1),
        heading=np.round(random.uniform(0.0, 359.9, COUNT), 1),
    )


def minutes(angle: float, width: int, letters: str) -> str:
    whole, rest = divmod(abs(angle) * 60.0, 60.0)
    return f"{int(whole):0{width}d}{rest:09.6f},{letters[int(angle < 0)]}"


def bodies(one: Evening) -> list[str]:
    made = []
    for row, time in enumerate(one.times):
        made.append(f"IIXDR,A,{one.roll[row]:.1f},D,ROLL")
        made.append(f"IIHDT,{one.heading[row]:.1f},T")
        place = f"{minutes(one.lat[row], 2, 'NS')},{minutes(one.lon[row], 3, 'EW')}"
        made.append(f"GPRMC,{time:%H%M%S},A,{place},{one.sog[row]:.2f},{one.cog[row]:.1f},{time:%d%m%y},,,A")
    return made


def gpx(one: Evening) -> str:
    points = ""
    for row, time in enumerate(one.times):
        points += (
            f'<trkpt lat="{one.lat[row]:.6f}" lon="{one.lon[row]:.6f}"><time>{time:%Y-%m-%dT%H:%M:%SZ}</time>'
        )
        points += f"<extensions><speed>{one.sog[row] * 1852.0 / 3600.0:.15g}</speed>"
        points += f"<course>{one.cog[row]}</course><heel>{one.roll[row]}</heel>"
        points += f"<heading>{one.heading[row]}</heading></extensions></trkpt>"
    return f'<gpx version="1.1" creator="test"><trk><trkseg>{points}</trkseg></trk></gpx>'


def csv(one: Evening, columns: str = "lat,lon,sog,cog,roll,heading") -> str:
    heads = {
        "lat": "lat_deg",
        "lon": "lon_deg",
        "sog": "SOG [kn]",
        "cog": "cog (deg true)",
        "roll": "roll_deg",
    }
    names = columns.split(",")
    lines = [";".join(["time_utc", *(heads.get(name, "heading_deg_true") for name in names)])]
    for row, time in enumerate(one.times):
        numbers = [str(getattr(one, name)[row]).replace(".", ",") for name in names]
        lines.append(";".join([f"{time:%Y-%m-%d %H:%M:%S}", *numbers]))
    return "\n".join([*lines, ""])


def check(log: TrackLog, truth: Evening) -> None:
    assert log.track["time"].to_list() == truth.times
    assert_allclose(log.track["lat"], truth.lat, atol=1e-8)
    assert_allclose(log.track["lon"], truth.lon, atol=1e-8)
    assert_allclose(log.track["sog"], truth.sog, atol=1e-9)
    assert_allclose(log.track["cog"], truth.cog, atol=1e-9)
    assert log.report.lines_skipped == {}
    assert log.report.clock_repairs == {}


def test_nmea(evening: Evening, write_log: Callable[..., Path]) -> None:
    log = read_log(write_log(bodies(evening)))
    check(log, evening)
    assert_allclose(log.side["attitude"]["roll"], evening.roll)
    assert_allclose(log.side["heading"]["hdg"], evening.heading)
    assert_allclose(log.track["roll"], evening.roll)


def test_gpx(evening: Evening, tmp_path: Path) -> None:
    path = tmp_path / "evening.gpx"
    path.write_text(gpx(evening), encoding="utf-8")
    log = read_log(path)
    check(log, evening)
    assert_allclose(log.track["roll"], evening.roll)
    assert_allclose(log.track["hdg"], evening.heading)


def test_csv(evening: Evening, tmp_path: Path) -> None:
    path = tmp_path / "evening.csv"
    path.write_text(csv(evening), encoding="utf-8")
    log = read_log(path)
    check(log, evening)
    assert_allclose(log.track["roll"], evening.roll)
    assert_allclose(log.track["hdg"], evening.heading)


def test_heel_of_a_phone_merged_into_a_log_without(
    evening: Evening, tmp_path: Path, write_log: Callable[..., Path]
) -> None:
    phone = tmp_path / "phone.csv"
    phone.write_text(csv(evening, "roll"), encoding="utf-8")
    log = read_log(write_log([body for body in bodies(evening) if "XDR" not in body]))
    assert log.track["roll"].null_count() == COUNT
    assert_allclose(merge_heel(log, phone).track["roll"], evening.roll)
