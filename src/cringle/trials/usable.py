"""Which stretches of two tracks are a fair comparison: both steady, near enough, in clear air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from cringle.trials.together import Together
from cringle.units import (
    degrees_to_radians,
    knots_to_metres_per_second,
    radians_to_degrees,
    wrap_signed_degrees,
)

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Limits:
    """What makes a comparison fair. All are common practice without a source, and may be changed.

    Parameters
    ----------
    bin_s : float
        Length of the bins the comparison is made of. [s]
    nearest_m, farthest_m : float
        Between these the boats share the wind and do not disturb each other. [m]
    shadow_half_deg, shadow_m : float
        The wind shadow: half its opening about straight downwind of the windward boat and a little aft, and
        how far it reaches. [deg, m]
    turn_deg : float
        A boat is steady while its course stays this near its course half a minute around. [deg]
    slowest_kn : float
        Slower than this a boat is not sailing. [kn]
    upwind_deg, downwind_deg : float
        Sailing upwind means a course less than the first off the wind, downwind more than the second. [deg]
    shortest_s : float
        Shorter stretches are left out. [s]
    """

    bin_s: float = 10.0
    nearest_m: float = 12.0
    farthest_m: float = 200.0
    shadow_half_deg: float = 25.0
    shadow_m: float = 60.0
    turn_deg: float = 12.0
    slowest_kn: float = 1.5
    upwind_deg: float = 75.0
    downwind_deg: float = 105.0
    shortest_s: float = 60.0


DEFAULT_LIMITS: Final = Limits()
SHADOW_AFT_DEG: Final = 15.0
"""Sailing upwind the shadow lies along the apparent wind, so much aft of straight downwind [deg]."""

STEADY_BINS: Final = 3
UP, DOWN, REACH = 1, -1, 0


@dataclass(frozen=True)
class Bins:
    """Both boats in bins, as they moved over each.

    Parameters
    ----------
    middle_s : array, shape (n,)
        Middle of each bin, seconds after the start of `Together`.
    speed : array, shape (2, n)
        Over the bin. [m/s]
    angle_deg : array, shape (2, n)
        Course relative to where the wind comes from, in (-180, 180]; on port tack positive. [deg]
    ahead, right : array, shape (n,)
        Our boat from the other: to windward, and to the right looking upwind. [m]
    heel_deg : array, shape (2, n)
        Mean size of heel; NaN where not measured.
    point : array, shape (2, n)
        1 upwind, -1 downwind, 0 reaching.
    """

    middle_s: Floats
    speed: Floats
    angle_deg: Floats
    ahead: Floats
    right: Floats
    heel_deg: Floats
    point: Floats


@dataclass(frozen=True)
class Usable:
    """Which bins count, in which stretch, and why the others do not.

    Parameters
    ----------
    stretch : array of int, shape (n,)
        Number of the stretch a bin belongs to, -1 where it does not count.
    left_out_min : mapping
        Reason to minutes.
    """

    stretch: NDArray[np.intp]
    left_out_min: Mapping[str, float] = field(default_factory=dict, hash=False)


def in_bins(both: Together, wind_from_deg: Floats, limits: Limits = DEFAULT_LIMITS) -> Bins:
    """Return both boats in bins.

    Parameters
    ----------
    both : Together
        Positions on one clock.
    wind_from_deg : array, shape (n,)
        True wind direction, each second. [deg]
    limits : Limits
        Gives the length of a bin.
    """
    width = round(limits.bin_s)
    count = max((both.rows - 1) // width, 0)
    edges = np.arange(count + 1) * width
    wind = degrees_to_radians(np.unwrap(wind_from_deg, period=360.0)[edges[:-1] + width // 2])
    north, east = np.diff(both.north[:, edges]), np.diff(both.east[:, edges])
    course = radians_to_degrees(np.arctan2(east, north) - wind)
    middle = edges[:-1] + width // 2
    away_north = both.north[0, middle] - both.north[1, middle]
    away_east = both.east[0, middle] - both.east[1, middle]
    angle = wrap_signed_degrees(course)
    return Bins(
        middle_s=middle.astype(np.float64),
        speed=np.hypot(north, east) / width,
        angle_deg=angle,
        ahead=away_north * np.cos(wind) + away_east * np.sin(wind),
        right=away_east * np.cos(wind) - away_north * np.sin(wind),
        heel_deg=_bin_means(both.heel, count, width),
        point=_point(np.abs(angle), limits),
    )


def _bin_means(values: Floats, count: int, width: int) -> Floats:
    cut = values[:, : count * width].reshape(2, count, width)
    known = np.isfinite(cut)
    total = np.where(known, cut, 0.0).sum(axis=2)
    with np.errstate(invalid="ignore"):
        return np.where(known.any(axis=2), total / np.maximum(known.sum(axis=2), 1), np.nan)


def _point(size: Floats, limits: Limits) -> Floats:
    return np.where(size < limits.upwind_deg, UP, np.where(size > limits.downwind_deg, DOWN, REACH)).astype(
        np.float64
    )


def usable(bins: Bins, limits: Limits = DEFAULT_LIMITS) -> Usable:
    """Return which bins are a fair comparison.

    Notes
    -----
    The reasons are tried in a fixed order and a bin is counted under the first that holds: no fix, not
    sailing, turning, on different legs, on different tacks, reaching, too close, too far apart, in the
    other's dirty air. What is left in runs shorter than a minute is left out as too short.
    """
    size = np.hypot(bins.ahead, bins.right)
    reasons: list[tuple[str, Any]] = [
        ("no position", ~np.isfinite(bins.speed).all(axis=0) | ~np.isfinite(size)),
        ("not sailing", (bins.speed < knots_to_metres_per_second(limits.slowest_kn)).any(axis=0)),
        ("turning", _turning(bins.angle_deg, limits.turn_deg)),
        ("on different legs", bins.point[0] != bins.point[1]),
        ("reaching", (bins.point == REACH).any(axis=0)),
        ("on different tacks", np.sign(bins.angle_deg[0]) != np.sign(bins.angle_deg[1])),
        ("too close", size < limits.nearest_m),
        ("too far apart", size > limits.farthest_m),
        ("in dirty air", _in_shadow(bins, limits)),
    ]
    free = np.ones(bins.middle_s.size, dtype=np.bool_)
    left_out = {}
    for name, bad in reasons:
        left_out[name] = float((free & bad).sum()) * limits.bin_s / 60.0
        free &= ~bad
    stretch = _stretches(free, bins, limits)
    left_out["too short"] = float((free & (stretch < 0)).sum()) * limits.bin_s / 60.0
    return Usable(stretch, {name: minutes for name, minutes in left_out.items() if minutes})


def _turning(angle_deg: Floats, most_deg: float) -> Flags:
    """Return where either boat's course leaves its own course a bin or so before or after."""
    turning = np.zeros(angle_deg.shape[1], dtype=np.bool_)
    for lag in range(1, STEADY_BINS):
        change = (
            np.abs(wrap_signed_degrees(angle_deg[:, lag:] - angle_deg[:, :-lag])).max(axis=0) > most_deg * lag
        )
        turning[lag:] |= change
        turning[:-lag] |= change
    return turning


def _in_shadow(bins: Bins, limits: Limits) -> Flags:
    """Return where one boat sails in the wind shadow of the other."""
    far = np.hypot(bins.ahead, bins.right)
    shaded = np.zeros(far.size, dtype=np.bool_)
    # sign 1: the other boat from ours, in the wind shadow of ours; sign -1: ours from the other
    for sign, boat in ((1.0, 0), (-1.0, 1)):
        from_leeward = np.arctan2(-sign * bins.right, sign * bins.ahead)
        aft = np.where(bins.point[boat] == UP, SHADOW_AFT_DEG, 0.0) * np.sign(bins.angle_deg[boat])
        bearing = radians_to_degrees(from_leeward) + aft
        shaded |= (np.abs(wrap_signed_degrees(bearing)) < limits.shadow_half_deg) & (far < limits.shadow_m)
    return shaded


def _stretches(free: Flags, bins: Bins, limits: Limits) -> NDArray[np.intp]:
    """Return the number of each run of bins that count and keep one tack and one leg."""
    same = np.sign(bins.angle_deg[0]) * (bins.point[0] + 3.0)
    breaks = np.concatenate([[True], (np.diff(same) != 0.0) | ~free[1:] | ~free[:-1]])
    number = np.cumsum(breaks) - 1
    length = np.bincount(number, weights=free.astype(np.float64))[number] * limits.bin_s
    kept = free & (length >= limits.shortest_s)
    found = np.full(free.size, -1, dtype=np.intp)
    found[kept] = np.unique(number[kept], return_inverse=True)[1]
    return found
