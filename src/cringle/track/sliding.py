"""Means over a few neighbouring rows, gaps (NaN) allowed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def mean_around(values: Array, width: int) -> Array:
    """Return the mean over `width` rows around each row; NaN where none of them is known.

    Parameters
    ----------
    values : array, shape (n,)
        NaN where nothing is known.
    width : int
        Rows, odd or even; at the ends only those there are.
    """
    known = np.isfinite(values)
    count, total = (sum_around(one, width) for one in (known.astype(float), np.where(known, values, 0.0)))
    return np.where(count > 0.5, total / np.maximum(count, 1.0), np.nan)


def sum_around(values: Array, width: int) -> Array:
    """Return the sum over `width` rows around each row, shape (n,)."""
    before = width // 2
    rows = np.arange(values.size)
    total = np.concatenate([[0.0], np.cumsum(values)])
    low = np.maximum(rows - before, 0)
    high = np.minimum(rows + width - before, values.size)
    around: Array = total[high] - total[low]
    return around
