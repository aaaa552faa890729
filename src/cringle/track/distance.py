"""Distances on the ground from positions, with a fast local formula.

Radii of curvature on the WGS84 ellipsoid at the middle latitude turn a small step into metres north and
east. The error against the true geodesic is below one part in a million for steps up to a kilometre away
from the poles.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.units import degrees_to_radians, wrap_signed_degrees

Array = NDArray[np.float64]

WGS84_SEMI_MAJOR_M: Final = 6_378_137.0
"""Equatorial radius [m]. NGA.STND.0036, World Geodetic System 1984, table 3.1."""

WGS84_FLATTENING: Final = 1.0 / 298.257223563
"""Flattening [1]. NGA.STND.0036, table 3.1."""

FASTEST_STEP_M_PER_S: Final = 30.0
"""A step between fixes faster than this [m/s] (58 kn) is a position fault, not sailing (our own limit)."""


class Steps(NamedTuple):
    """Steps between neighbouring positions: metres north, metres east and metres along, shape (n - 1,)."""

    north: Array
    east: Array
    length: Array


class Travelled(NamedTuple):
    """Distance sailed [m], steps left out because they bridge a gap [m], and steps too fast to be true."""

    sailed: float
    across_gaps: float
    faulty_steps: int


def radii(latitude_deg: Array) -> tuple[Array, Array]:
    """Return metres per radian north and east at a latitude on the WGS84 ellipsoid.

    Notes
    -----
    M = a (1 - e2) / (1 - e2 sin2)^(3/2) and N cos = a cos / sqrt(1 - e2 sin2), meridian and prime vertical.
    Rapp, Geometric Geodesy part I, Ohio State University 1991, section 3 (from memory).
    """
    latitude = degrees_to_radians(latitude_deg)
    eccentricity2 = WGS84_FLATTENING * (2.0 - WGS84_FLATTENING)
    root = 1.0 - eccentricity2 * np.sin(latitude) ** 2
    meridian = WGS84_SEMI_MAJOR_M * (1.0 - eccentricity2) / root**1.5
    return meridian, WGS84_SEMI_MAJOR_M / np.sqrt(root) * np.cos(latitude)


def steps(lat_deg: Array, lon_deg: Array) -> Steps:
    """Return the step from each position to the next; a step over the antimeridian is short."""
    north_radius, east_radius = radii(0.5 * (lat_deg[1:] + lat_deg[:-1]))
    north = degrees_to_radians(np.diff(lat_deg)) * north_radius
    east = degrees_to_radians(wrap_signed_degrees(np.diff(lon_deg))) * east_radius
    return Steps(north, east, np.hypot(north, east))


def position_metres(lat_deg: Array, lon_deg: Array) -> tuple[Array, Array]:
    """Return metres north and east of the first known position, added up step by step; gaps stay NaN."""
    known = np.flatnonzero(np.isfinite(lat_deg) & np.isfinite(lon_deg))
    north, east = np.full(lat_deg.shape, np.nan), np.full(lat_deg.shape, np.nan)
    if known.size:
        walked = steps(lat_deg[known], lon_deg[known])
        north[known] = np.concatenate([[0.0], np.cumsum(walked.north)])
        east[known] = np.concatenate([[0.0], np.cumsum(walked.east)])
    return north, east


def travelled(seconds: Array, lat_deg: Array, lon_deg: Array, *, longest_step_s: float) -> Travelled:
    """Return the distance along the fixes.

    Parameters
    ----------
    seconds : array, shape (n,)
        Time of each position, rising. [s]
    lat_deg, lon_deg : array, shape (n,)
        Positions; NaN where there is none. [deg]
    longest_step_s : float
        A step that takes longer bridges a gap and does not count as sailed. [s]
    """
    known = np.flatnonzero(np.isfinite(lat_deg) & np.isfinite(lon_deg))
    if known.size < 2:
        return Travelled(0.0, 0.0, 0)
    length = steps(lat_deg[known], lon_deg[known]).length
    taken = np.diff(seconds[known])
    faulty = length > FASTEST_STEP_M_PER_S * np.maximum(taken, 1.0)
    gap = (taken > longest_step_s) & ~faulty
    sailed = ~faulty & ~gap
    return Travelled(float(length[sailed].sum()), float(length[gap].sum()), int(faulty.sum()))


def elsewhere_at_once(times: NDArray[np.int64], lat_deg: Array, lon_deg: Array, *, least_m: float) -> int:
    """Return how many fixes give another place at the same time as the fix before them.

    Parameters
    ----------
    times : array of int, shape (n,)
        Sorted.
    lat_deg, lon_deg : array, shape (n,)
        Positions; NaN where there is none. [deg]
    least_m : float
        A receiver's own error; closer than this is the same place. [m]
    """
    if times.size < 2:
        return 0
    apart = steps(lat_deg, lon_deg).length > least_m
    return int((apart & (np.diff(times) == 0)).sum())
