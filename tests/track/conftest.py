"""Small logs for the tests of this room."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache, reduce
from operator import xor
from pathlib import Path

import pytest

from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.race.legs import find_legs
from cringle.track.race.structure import Structure
from cringle.track.reading.complete import Complete, complete
from cringle.track.series import series_of
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.truth import BoatTruth
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import WindSeries

LOGS = Path(__file__).parent.parent / "data" / "logs"


def seal_body(body: str) -> str:
    """Return a whole sentence: the body with its start and its checksum."""
    start = "" if body[0] in "$!" else "$"
    text = body.lstrip("$!")
    return f"{start or body[0]}{text}*{reduce(xor, text.encode('latin-1'), 0):02X}"


@pytest.fixture
def seal() -> Callable[[str], str]:
    """Return a function that adds start and checksum to a sentence body."""
    return seal_body


@pytest.fixture
def write_log(tmp_path: Path) -> Callable[..., Path]:
    """Return a function that writes bodies as a log of sealed sentences."""

    def write(bodies: Iterable[str], name: str = "evening.nmea", end: str = "\r\n") -> Path:
        path = tmp_path / name
        path.write_bytes("".join(seal_body(body) + end for body in bodies).encode("latin-1"))
        return path

    return write


@pytest.fixture
def logs() -> Path:
    """Return the directory of recorded logs."""
    return LOGS


def rmc(seconds: float, day: str = "030526", **changed: str) -> str:
    """Return an RMC body at some seconds of the day, moving north-east."""
    clock = f"{int(seconds) // 3600:02d}{int(seconds) // 60 % 60:02d}{seconds % 60:05.2f}"
    parts = {
        "clock": clock,
        "status": "A",
        "lat": f"{5400 + (seconds % 3600) / 1000:09.4f}",
        "north": "N",
        "lon": "01000.0000",
        "east": "E",
        "sog": "5.0",
        "cog": "45.0",
        "day": day,
        "variation": "2.0",
        "side": "E",
    }
    return "GPRMC," + ",".join({**parts, **changed}.values())


@pytest.fixture
def rmc_body() -> Callable[..., str]:
    """Return a function that makes RMC bodies."""
    return rmc


@dataclass(frozen=True)
class Simulated:
    """One simulated boat, read back: log, truth, wind found from the track, legs found with it."""

    log: Complete
    truth: BoatTruth
    wind: WindSeries
    structure: Structure


@lru_cache(maxsize=16)
def simulated_boat(options: SimOptions, seed: int) -> Simulated:
    """Simulate one boat from the sketch of a polar and analyse her log."""
    boat = simulate(options, sketch_polar(), seed).boats[0]
    log = complete(series_of(boat.track()))
    wind = estimate_wind(log)
    assert wind is not None
    return Simulated(log, boat.truth, wind, find_legs(log, wind))


@pytest.fixture
def sketch() -> FrozenPolar:
    """Return the sketch of a polar."""
    return sketch_polar()


@pytest.fixture
def simulated() -> Callable[[SimOptions, int], Simulated]:
    """Return a function that simulates and analyses one boat; the same race is made once only."""
    return simulated_boat
