"""Noise with a memory, and the wind of a simulated race."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.track.simulator.options import SimWeather
from cringle.units import wrap_degrees

Array = NDArray[np.float64]


def wander(rng: np.random.Generator, shape: tuple[int, ...], *, spread: float, memory: float) -> Array:
    """Return first-order autoregressive noise along the last axis.

    Parameters
    ----------
    rng : Generator
        Where the noise comes from.
    shape : tuple of int
        Of the result.
    spread : float
        Standard deviation, from the first value on.
    memory : float
        Rows after which the correlation has fallen to 1/e; 0 gives white noise.
    """
    from scipy.signal import lfilter

    keep = float(np.exp(-1.0 / memory)) if memory > 0.0 else 0.0
    kicks = rng.standard_normal(shape) * spread
    kicks[..., 1:] *= np.sqrt(1.0 - keep**2)
    return np.asarray(lfilter([1.0], [1.0, -keep], kicks, axis=-1))


def smoothed(values: Array, memory: float) -> Array:
    """Return values following the given ones with a lag: an exponential filter along the last axis."""
    from scipy.signal import lfilter

    keep = float(np.exp(-1.0 / memory))
    start = keep * values[..., :1]
    return np.asarray(lfilter([1.0 - keep], [1.0, -keep], values, axis=-1, zi=start)[0])


@dataclass(frozen=True)
class SimWind:
    """The wind of a race, one row a second.

    Parameters
    ----------
    turn_deg : array, shape (n,)
        True wind direction less its mean; the same for all boats.
    strength_kn : array, shape (boats, n)
        True wind speed at 10 m at each boat.
    from_deg : array, shape (n,)
        True wind direction in [0, 360).
    """

    turn_deg: Array
    strength_kn: Array
    from_deg: Array


def make_wind(weather: SimWeather, rng: np.random.Generator, *, boats: int, rows: int) -> SimWind:
    """Return the wind over a race: a swing, a wander, a shift; gusts that the boats partly share."""
    clock = np.arange(rows)
    turn = weather.swing_deg * np.sin(2.0 * np.pi * (clock / weather.swing_s + rng.uniform()))
    turn += wander(rng, (rows,), spread=weather.wander_deg, memory=weather.wander_s)
    turn += weather.shift_deg * (clock / max(rows - 1, 1) - 0.5)
    shared = wander(rng, (rows,), spread=1.0, memory=weather.gust_s)
    own = wander(rng, (boats, rows), spread=1.0, memory=weather.gust_s)
    part = weather.own_gust_share
    gust = weather.gust_share * (np.sqrt(1.0 - part) * shared + np.sqrt(part) * own)
    strength = weather.wind_kn * (1.0 + np.clip(gust, -0.5, 0.6))
    return SimWind(turn, strength, wrap_degrees(weather.wind_from_deg + turn))
