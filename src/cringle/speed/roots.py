"""Bracketed roots of many independent equations at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

MOST_STEPS = 60


def bracketed_roots(
    function: Callable[[Array], Array],
    low: Array,
    high: Array,
    *,
    tolerance: Array,
) -> tuple[Array, Array]:
    """Return roots between two speeds, and what is left of the function there.

    Parameters
    ----------
    function : callable
        Takes one trial value for each equation, returns one value for each.
    low, high : array, shape (n,)
        Ends. Only a fall from above 0 counts, as an equilibrium that the boat comes back to; where there is
        none, the end with the smaller value is returned and its remainder tells so.
    tolerance : array, shape (n,)
        Remainder at which an equation is done.

    Notes
    -----
    False position with the weight of Anderson and Bjorck (BIT 13, 1973, pp. 253-264; from memory) on the end
    that stays, and a halving where a step does not shrink the bracket to less than half. It never leaves the
    bracket.
    """
    left, right = np.array(low, dtype=np.float64), np.array(high, dtype=np.float64)
    at_left, at_right = function(left), function(right)
    nearer = np.abs(at_left) < np.abs(at_right)
    root, rest = np.where(nearer, left, right), np.where(nearer, at_left, at_right)
    crossing = (at_left > 0.0) & (at_right <= 0.0)
    for step in range(MOST_STEPS):
        open_still = crossing & (np.abs(rest) > tolerance)
        if not open_still.any():
            break
        slope = at_right - at_left
        trial = right - at_right * (right - left) / np.where(slope == 0.0, 1.0, slope)
        inside = (trial > np.minimum(left, right)) & (trial < np.maximum(left, right)) & (step % 6 != 5)
        trial = np.where(open_still, np.where(inside, trial, 0.5 * (left + right)), root)
        found = function(trial)
        same = (found > 0.0) == (at_right > 0.0)
        weight = 1.0 - found / np.where(at_right == 0.0, 1.0, at_right)
        kept = at_left * np.where(same, np.where(weight > 0.0, weight, 0.5), 1.0)
        left = np.where(same, left, right)
        at_left = np.where(same, kept, at_right)
        right, at_right = trial, found
        root, rest = np.where(open_still, trial, root), np.where(open_still, found, rest)
    return root, rest
