"""Invented boats, noises and observations for the tests of the trials room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import lfilter

from cringle.track.series import Series
from cringle.trials.response import Seen

Floats = NDArray[np.float64]
START = datetime(2026, 5, 1, 17, 0, tzinfo=UTC)
METRES_PER_DEGREE = 111_320.0


def _ar1(rng: np.random.Generator, runs: int, count: int, forgetting: float) -> Floats:
    """Return exponentially correlated noise of s.d. 1, one run a row."""
    phi = np.exp(-1.0 / forgetting)
    shocks = rng.standard_normal((runs, count))
    shocks[:, 0] /= np.sqrt(1.0 - phi**2)
    found: Floats = lfilter([1.0], [1.0, -phi], shocks, axis=1) * np.sqrt(1.0 - phi**2)
    return found


def _two_speeds(rng: np.random.Generator, runs: int, count: int) -> Floats:
    """Return a noise that is not autoregressive of first order: half slow (60 s), half fast (8 s)."""
    return np.sqrt(0.5) * (_ar1(rng, runs, count, 60.0) + _ar1(rng, runs, count, 8.0))


def _binned(values: Floats, width: int) -> Floats:
    """Return means over bins, one run a row."""
    count = values.shape[1] // width
    found: Floats = values[:, : count * width].reshape(values.shape[0], count, width).mean(axis=2)
    return found


@pytest.fixture(scope="session")
def ar1() -> Callable[..., Floats]:
    """Return the maker of exponentially correlated noise."""
    return _ar1


@pytest.fixture(scope="session")
def two_speeds() -> Callable[..., Floats]:
    """Return the maker of a noise of two speeds."""
    return _two_speeds


@pytest.fixture(scope="session")
def binned() -> Callable[..., Floats]:
    """Return the maker of bin means."""
    return _binned


@dataclass(frozen=True)
class Sail:
    """How an invented boat sails: angle off the wind, speed, noise, where from, and when it tacks."""

    angle_deg: float = 42.0
    speed: float = 2.8
    noise: float = 0.0
    north: float = 0.0
    east: float = 0.0
    tack_every_s: int = 600
    seed: int = 0
    heel_deg: float = np.nan
    late_s: float = 0.0
    wind_deg: float = 0.0


@pytest.fixture
def boat() -> Callable[..., Series]:
    """Return a maker of invented tracks, a row a second, wind from `wind_deg`."""

    def make(seconds: int = 1200, **how: float) -> Series:
        sail = Sail(**how)  # type: ignore[arg-type]
        rng = np.random.default_rng(sail.seed)
        side = np.where((np.arange(seconds) // sail.tack_every_s) % 2 == 0, 1.0, -1.0)
        speed = sail.speed + sail.noise * _ar1(rng, 1, seconds, 40.0)[0]
        course = np.radians(sail.angle_deg * side + sail.wind_deg)
        north = sail.north + np.cumsum(speed * np.cos(course))
        east = sail.east + np.cumsum(speed * np.sin(course))
        unknown = np.full(seconds, np.nan)
        return Series(
            START + timedelta(seconds=sail.late_s),
            54.0 + north / METRES_PER_DEGREE,
            -5.0 + east / (METRES_PER_DEGREE * np.cos(np.radians(54.0))),
            speed,
            *[unknown] * 3,
            np.degrees(course) % 360.0,
            *[unknown] * 2,
            np.full(seconds, sail.wind_deg),
            *[unknown] * 2,
            np.full(seconds, sail.heel_deg),
        )

    return make


@pytest.fixture
def observations() -> Callable[..., list[Seen]]:
    """Return a maker of trials of one step either side of the anchor against a parabola."""

    def make(optimum: float, *, count: int = 4, error: float = 0.3, wind_kn: float = 11.0) -> list[Seen]:
        def value(steps: float) -> float:
            return -((steps - optimum) ** 2)

        tried = [1.0 if number % 2 == 0 else -1.0 for number in range(count)]
        return [
            Seen(wind_kn, one, 0.0, value(one) - value(0.0), error, f"day {n}", name=f"trial {n}")
            for n, one in enumerate(tried)
        ]

    return make
