"""Turns of the boat, from the direction of the bow or the course alone: all a log without wind can tell."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import unwind_deg
from cringle.track.reading.complete import Complete
from cringle.units import wrap_degrees

Array = NDArray[np.float64]

SMALLEST_TURN_DEG: Final = 60.0
"""A smaller change of direction is steering, a wave or a shift, not a turn [deg] (our own limit)."""

TURN_GAP_S: Final = 8
TURN_FAR_S: Final = 28
"""The direction before is the mean 28 to 8 s earlier, after 8 to 28 s later."""

STEADIEST_DEG: Final = 20.0
"""Before and after a turn the direction keeps within this standard deviation [deg]."""

LEAST_KNOWN: Final = 0.5
"""Share of the seconds before, and after, in which the direction must be known."""

SLOWEST_TURN_KN: Final = 1.0
"""A boat slower than this before or after swings rather than turns [kn] (our own limit)."""


@dataclass(frozen=True)
class Turn:
    """One turn: when (UTC), direction before and after in [0, 360), and how far, clockwise positive [deg]."""

    at: datetime
    before_deg: float
    after_deg: float
    turn_deg: float


def find_turns(log: Complete) -> tuple[Turn, ...]:
    """Return the turns of `SMALLEST_TURN_DEG` or more with a steady direction before and after.

    Parameters
    ----------
    log : Complete
        The log on the even clock.

    Notes
    -----
    The step between two sliding means, one before and one after each second, is largest in the middle of a
    turn. Turns within `TURN_FAR_S` of a larger one are part of it.
    """
    turned = unwind_deg(log.bow)
    before, before_spread = _window(turned, -TURN_FAR_S, -TURN_GAP_S)
    after, after_spread = _window(turned, TURN_GAP_S, TURN_FAR_S)
    slow_before, _ = _window(log.series.sog, -TURN_FAR_S, -TURN_GAP_S)
    slow_after, _ = _window(log.series.sog, TURN_GAP_S, TURN_FAR_S)
    steady = (before_spread <= STEADIEST_DEG) & (after_spread <= STEADIEST_DEG)
    adrift = np.fmin(slow_before, slow_after) < SLOWEST_TURN_KN
    step = np.where(steady & ~adrift, after - before, np.nan)
    rows = _peaks(np.abs(np.nan_to_num(step)))
    start, end = wrap_degrees(before), wrap_degrees(after)
    return tuple(
        Turn(log.series.at(row), float(start[row]), float(end[row]), float(step[row])) for row in rows
    )


def _window(values: Array, first: int, last: int) -> tuple[Array, Array]:
    """Return mean and standard deviation over rows `first` to `last` from each row, NaN with too few known.

    The values are taken relative to their own middle, so that the sums stay exact to many digits.
    """
    known = np.isfinite(values)
    middle = float(np.median(values[known])) if known.any() else 0.0
    shifted = np.where(known, values - middle, 0.0)
    count, total, square = (
        _sliding_sum(part, first, last) for part in (known.astype(float), shifted, shifted**2)
    )
    enough = count >= LEAST_KNOWN * (last - first + 1)
    safe = np.maximum(count, 1.0)
    mean = total / safe
    spread = np.sqrt(np.maximum(square / safe - mean**2, 0.0))
    return np.where(enough, mean + middle, np.nan), np.where(enough, spread, np.nan)


def _sliding_sum(values: Array, first: int, last: int) -> Array:
    rows = np.arange(values.size)
    total = np.concatenate([[0.0], np.cumsum(values)])
    low = np.clip(rows + first, 0, values.size)
    high = np.clip(rows + last + 1, 0, values.size)
    inside: Array = total[high] - total[low]
    return inside


def _peaks(size: Array) -> list[int]:
    """Return the rows of the largest steps, none nearer than `TURN_FAR_S` to a larger one, in order."""
    free = size >= SMALLEST_TURN_DEG
    kept: list[int] = []
    for row in np.argsort(-size, kind="stable")[: int(free.sum())]:
        if free[row]:
            kept.append(_middle_of_peak(size, int(row)))
            free[max(row - TURN_FAR_S, 0) : row + TURN_FAR_S + 1] = False
    return sorted(kept)


def _middle_of_peak(size: Array, row: int) -> int:
    """Return the middle of the flat top that a row is on."""
    lower = np.flatnonzero(size < 0.999 * size[row])
    after = int(np.searchsorted(lower, row))
    start = int(lower[after - 1]) + 1 if after else 0
    end = int(lower[after]) - 1 if after < lower.size else size.size - 1
    return (start + end) // 2
