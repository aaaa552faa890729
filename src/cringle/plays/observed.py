"""What a log tells about a play: how long the bow took to turn."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cringle.plays.play_file import Motion, PlayFile

Array = NDArray[np.float64]

REACH_S = 20
"""A turn is looked for this long before and after its middle [s]."""

FIRST_SHARE, LAST_SHARE = 0.1, 0.9
"""The turn is timed between these shares of its angle, where steering about it counts least (judgement)."""


def turn_seconds(bow_deg: Array, middle: int, *, before_deg: float, turn_deg: float) -> float | None:
    """Return how long a turn took, whole angle at its mean rate [s]; None where the log does not show it.

    Parameters
    ----------
    bow_deg : array, shape (n,)
        Direction of the bow second by second, without jumps; NaN where unknown. [deg]
    middle : int
        Row near the middle of the turn.
    before_deg, turn_deg : float
        Direction before it, on any turn of the circle, and how far it went, clockwise positive. [deg]
    """
    first = max(0, middle - REACH_S)
    part = bow_deg[first : middle + REACH_S + 1]
    if turn_deg == 0.0 or not np.isfinite(part).all() or part.size < 3:
        return None
    start_deg = before_deg + 360.0 * np.round((part[0] - before_deg) / 360.0)
    share = (part - start_deg) / turn_deg
    reached = np.flatnonzero(share >= LAST_SHARE)
    if reached.size == 0:
        return None
    left = np.flatnonzero(share[: reached[0]] <= FIRST_SHARE)
    if left.size == 0:
        return None
    begun = _crossing(share, int(left[-1]), FIRST_SHARE)
    ended = _crossing(share, int(reached[0]) - 1, LAST_SHARE)
    return float((ended - begun) / (LAST_SHARE - FIRST_SHARE))


def _crossing(share: Array, row: int, level: float) -> float:
    """Return where a level is passed between a row and the next, on a straight line."""
    step = float(share[row + 1] - share[row])
    return row if step == 0.0 else row + float(level - share[row]) / step


def helm_times(play: PlayFile, seconds: float) -> dict[str, float]:
    """Return the duration of each turn of the helm in a play when all of them together took so long [s]."""
    turning = [one for one in play.actions if one.motion is Motion.HELM and not one.hold]
    whole = sum(one.likely_s for one in turning)
    if whole <= 0.0:
        return {}
    return {one.id: round(seconds * one.likely_s / whole, 2) for one in turning}
