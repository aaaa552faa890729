"""Pauses in a log: speed and course across them from where the boat was before and after."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import unwind_deg
from cringle.track.distance import position_metres
from cringle.track.series import Series
from cringle.units import metres_per_second_to_knots, radians_to_degrees, wrap_degrees

Array = NDArray[np.float64]

LONGEST_S: Final = 60
"""Over a longer pause nothing is said [s]: the boat may have been anywhere."""


def across_pauses(series: Series, speed_kn: Array, course_deg: Array) -> tuple[Array, Array]:
    """Return speed and course with pauses of up to `LONGEST_S` filled by the straight way between their ends.

    Parameters
    ----------
    series : Series
        Positions; those drawn on through short pauses are used as they are.
    speed_kn, course_deg : array, shape (n,)
        NaN in pauses.

    Notes
    -----
    What is made good across the pause is right; what was sailed within it is not known.
    """
    missing = ~(np.isfinite(speed_kn) & np.isfinite(course_deg))
    edges = np.diff(np.concatenate([[0], missing.astype(np.int8), [0]]))
    firsts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    speed, course = speed_kn.copy(), course_deg.copy()
    if firsts.size == 0 or not series.has("lat"):
        return speed, course
    north, east = position_metres(series.lat, series.lon)
    for first, end in zip(firsts.tolist(), ends.tolist(), strict=True):
        before, after = _known(north, first - 1, -1), _known(north, end, 1)
        if before is None or after is None or after - before > LONGEST_S:
            continue
        way = complex(north[after] - north[before], east[after] - east[before])
        speed[first:end] = metres_per_second_to_knots(abs(way) / (after - before))
        course[first:end] = wrap_degrees(radians_to_degrees(float(np.angle(way))))
    return speed, course


def bridged(values: Array) -> Array:
    """Return values with pauses of up to `LONGEST_S` filled on a straight line."""
    known = np.flatnonzero(np.isfinite(values))
    if known.size < 2:
        return values
    rows = np.arange(values.size)
    place = np.searchsorted(known, rows).clip(1, known.size - 1)
    near = (known[place] - known[place - 1] <= LONGEST_S) & (rows >= known[0]) & (rows <= known[-1])
    return np.where(near | np.isfinite(values), np.interp(rows, known, values[known]), np.nan)


def bridged_direction(direction_deg: Array) -> Array:
    """Return a direction in [0, 360) with pauses of up to `LONGEST_S` filled the short way round."""
    return wrap_degrees(bridged(unwind_deg(direction_deg)))


def _known(values: Array, row: int, step: int) -> int | None:
    """Return the nearest row with a position at or beyond a row, at most some seconds away."""
    for place in range(row, row + step * (LONGEST_S // 4), step):
        if 0 <= place < values.size and np.isfinite(values[place]):
            return place
    return None
