"""Monotone cubic interpolation: through every row of a table, never above or below its neighbours.

Written out in NumPy so that reading tonight's numbers needs nothing heavier.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError

Floats = NDArray[np.float64]

END_SLOPE_LIMIT = 3.0
"""An end slope steeper than this many times its own secant could leave the range of the data [1]."""


def monotone_slopes(x: Floats, y: Floats) -> Floats:
    """Return the slope at each point of the monotone cubic through the points.

    Parameters
    ----------
    x : array, shape (n,), n >= 2
        Strictly increasing.
    y : array, shape (n,)
        Values at `x`.

    Returns
    -------
    array, shape (n,)
        Inside: the weighted harmonic mean of the two secants where both have the same sign, else 0. Ends: a
        three-point formula, cut back so that it keeps the sign and at most three times the end secant.

    References
    ----------
    .. [1] Fritsch, Carlson, "Monotone Piecewise Cubic Interpolation", SIAM J. Numer. Anal. 17, 1980, p. 238.
    .. [2] Fritsch, Butland, "A Method for Constructing Local Monotone Piecewise Cubic Interpolants", SIAM J.
       Sci. Stat. Comput. 5, 1984, p. 300.
    """
    step, secant = np.diff(x), np.diff(y) / np.diff(x)
    if secant.size == 1:
        return np.full(2, secant[0])
    before, after = secant[:-1], secant[1:]
    weight_before = step[:-1] + 2.0 * step[1:]
    weight_after = 2.0 * step[:-1] + step[1:]
    same = before * after > 0.0
    inner = np.zeros_like(before)
    total = (weight_before + weight_after)[same]
    inner[same] = total / (weight_before[same] / before[same] + weight_after[same] / after[same])
    first = _end_slope(step[0], step[1], secant[0], secant[1])
    last = _end_slope(step[-1], step[-2], secant[-1], secant[-2])
    return np.concatenate([[first], inner, [last]])


def _end_slope(near_step: float, next_step: float, near: float, after: float) -> float:
    slope = ((2.0 * near_step + next_step) * near - near_step * after) / (near_step + next_step)
    if np.sign(slope) != np.sign(near):
        return 0.0
    if np.sign(near) != np.sign(after) and abs(slope) > END_SLOPE_LIMIT * abs(near):
        return END_SLOPE_LIMIT * near
    return float(slope)


def monotone(x: ArrayLike, y: ArrayLike, at: ArrayLike) -> Floats:
    """Return the monotone cubic through the points at some places; held at the end values beyond the ends.

    Parameters
    ----------
    x, y : array-like, shape (n,), n >= 1
        Points, `x` strictly increasing.
    at : array-like, any shape
        Where to read it. NaN in gives NaN out.

    Returns
    -------
    array of the shape of `at`
        Values that never leave the interval of the two neighbouring points.

    Raises
    ------
    InputError
        `x` does not increase, or the two have different lengths, or there is no point at all.

    Examples
    --------
    >>> monotone([4.0, 8.0, 12.0], [6.0, 5.0, 5.0], [4.0, 8.0, 10.0]).tolist()
    [6.0, 5.0, 5.0]
    """
    points, values, places = (np.asarray(one, dtype=np.float64) for one in (x, y, at))
    if points.size == 0 or points.shape != values.shape or points.ndim != 1:
        raise InputError(f"rows to read between: found {points.size} places and {values.size} values")
    if np.any(np.diff(points) <= 0.0):
        raise InputError("rows to read between must lie at increasing winds, each once")
    if points.size == 1:
        return np.where(np.isnan(places), np.nan, values[0])
    inside = np.clip(places, points[0], points[-1])
    left = np.clip(np.searchsorted(points, inside, side="right") - 1, 0, points.size - 2)
    return _hermite(points, values, left, inside)


def _hermite(x: Floats, y: Floats, left: NDArray[np.intp], at: Floats) -> Floats:
    slope, width = monotone_slopes(x, y), np.diff(x)[left]
    t = (at - x[left]) / width
    from_left = y[left] * (1.0 + 2.0 * t) * (1.0 - t) ** 2 + slope[left] * width * t * (1.0 - t) ** 2
    from_right = y[left + 1] * t**2 * (3.0 - 2.0 * t) + slope[left + 1] * width * t**2 * (t - 1.0)
    found: Floats = from_left + from_right
    return found
