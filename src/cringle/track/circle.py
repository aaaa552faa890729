"""Angles on the circle: means, spreads, differences and unwinding, in degrees, gaps (NaN) allowed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cringle.units import degrees_to_radians, radians_to_degrees, wrap_signed_degrees

Array = NDArray[np.float64]


def resultant(angles_deg: Array) -> complex:
    """Return the mean unit vector of the angles that are there, as a complex number; NaN without any."""
    known = angles_deg[np.isfinite(angles_deg)]
    if known.size == 0:
        return complex(np.nan, np.nan)
    return complex(np.exp(1j * degrees_to_radians(known)).mean())


def circular_mean_deg(angles_deg: Array) -> float:
    """Return the mean direction in (-180, 180]; NaN without any angle."""
    return float(wrap_signed_degrees(radians_to_degrees(float(np.angle(resultant(angles_deg))))))


def circular_spread_deg(angles_deg: Array) -> float:
    """Return the circular standard deviation [deg].

    Notes
    -----
    ``sqrt(-2 ln R)`` with R the length of the mean unit vector; equals the usual standard deviation for
    small spreads. Mardia and Jupp, Directional Statistics, Wiley 2000, section 2.3 (from memory).
    """
    length = min(abs(resultant(angles_deg)), 1.0)
    if not length > 0.0:
        return float("nan")
    return float(radians_to_degrees(float(np.sqrt(-2.0 * np.log(length)))))


def difference_deg(to_deg: Array | float, from_deg: Array | float) -> Array:
    """Return the shortest way from one direction to the other in (-180, 180], clockwise positive."""
    return wrap_signed_degrees(np.asarray(to_deg, dtype=float) - np.asarray(from_deg, dtype=float))


def unwind_deg(angles_deg: Array) -> Array:
    """Return the angles without jumps at the ends of the circle; gaps stay gaps.

    Each known angle is taken the short way round from the known one before it.
    """
    known = np.isfinite(angles_deg)
    out = np.full(angles_deg.shape, np.nan)
    out[known] = np.unwrap(angles_deg[known], period=360.0)
    return out
