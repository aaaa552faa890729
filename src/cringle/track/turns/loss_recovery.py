"""How a boat gets her speed back after a tack or gybe: one memory of the boat, one depth for each turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

MEMORIES_S: Final = np.geomspace(3.0, 24.0, 43)
"""Time constants that are tried [s]."""

USUAL_MEMORY_S: Final = 8.0
MEMORY_SPREAD: Final = 0.5
"""Before anything is known of a boat: 8 s, within a factor of 1.6 (judgement: a light keelboat)."""

PACE_SD: Final = 0.03
"""What the pace of one second strays by, trim and helm [share] (judgement)."""

ENTRY_SECONDS: Final = 9.0
"""The pace before the turn weighs as much as so many seconds after it: trim differs between the boards."""

FROM_S: Final = 8
TO_S: Final = 60
"""From 8 s after the crossing, when the bow is round, to 60 s after it."""

FEWEST_S: Final = 6
WORST_MISFIT: Final = 0.08
"""A pace further from the curve than this [share, root mean square] did not come back like that."""


@dataclass(frozen=True)
class Turned:
    """One turn: the row of its crossing, the row after the last that is free of others, the pace before."""

    row: int
    end: int
    before: float


@dataclass(frozen=True)
class Recovery:
    """How the pace came back: ``settled - depth exp(-t / memory)``, with t from the crossing [s]."""

    settled: float
    depth: float
    memory_s: float

    def missing(self, seconds: Array) -> Array:
        """Return the pace that is still missing at seconds from the crossing."""
        return np.asarray(self.depth * np.exp(-seconds / self.memory_s))

    def back_s(self, share: float) -> float:
        """Return the seconds from the crossing to a share of the settled pace; 0 if it never fell so low."""
        left = (1.0 - share) * self.settled
        return self.memory_s * float(np.log(self.depth / left)) if self.depth > left > 0.0 else 0.0


def recoveries(pace: Array, turns: Sequence[Turned]) -> tuple[Recovery | None, ...]:
    """Return how the pace came back after each turn, with one time constant for all of them.

    Parameters
    ----------
    pace : array, shape (n,)
        Speed over what the boat can do at the wind, angle and heel of each second.
    turns : sequence of Turned
        In order of time.

    Returns
    -------
    tuple of Recovery or None
        None where too little was sailed after the turn, or where the pace came back in another way: a boat
        that stopped, or was stopped.

    Notes
    -----
    A boat below her speed has more drive than drag in proportion to what is missing, so that it dies away
    exponentially. The depth differs from turn to turn, the memory is the boat's: for each memory tried depth
    and settled pace are least squares, the sum over all turns chooses the memory, and `USUAL_MEMORY_S` holds
    it where a log has few turns.
    """
    answers = [_each_memory(pace, one) for one in turns]
    known = [one for one in answers if one is not None]
    if not known:
        return (None,) * len(turns)
    misfit = np.sum([one[2] for one in known], axis=0) / PACE_SD**2
    misfit += (np.log(MEMORIES_S / USUAL_MEMORY_S) / MEMORY_SPREAD) ** 2
    best = int(np.argmin(misfit))
    return tuple(None if one is None else _recovery(one, best) for one in answers)


_Answers = tuple[Array, Array, Array, int]
"""Settled pace, depth and sum of squares for each memory, and the number of seconds."""


def _each_memory(pace: Array, turn: Turned) -> _Answers | None:
    seconds = np.arange(FROM_S, min(TO_S, turn.end - turn.row), dtype=np.float64)
    found = pace[turn.row + seconds.astype(np.intp)]
    known = np.isfinite(found)
    if known.sum() < FEWEST_S:
        return None
    seconds, found = seconds[known], found[known]
    weight = ENTRY_SECONDS if np.isfinite(turn.before) else 0.0
    before = turn.before if weight else 0.0
    shape = np.exp(-seconds / MEMORIES_S[:, None])
    count, first, second = seconds.size + weight, shape.sum(axis=1), (shape**2).sum(axis=1)
    level, along = found.sum() + weight * before, shape @ found
    below = count * second - first**2
    depth = np.maximum((first * level - count * along) / np.maximum(below, 1e-12), 0.0)
    settled = (level + depth * first) / count
    strays = found - settled[:, None] + depth[:, None] * shape
    return settled, depth, (strays**2).sum(axis=1) + weight * (before - settled) ** 2, seconds.size


def _recovery(answers: _Answers, place: int) -> Recovery | None:
    settled, depth, misfit, count = answers
    if settled[place] <= 0.0 or misfit[place] > count * (WORST_MISFIT * settled[place]) ** 2:
        return None
    return Recovery(float(settled[place]), float(depth[place]), float(MEMORIES_S[place]))
