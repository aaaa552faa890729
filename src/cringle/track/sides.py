"""On which side the wind is, second by second, and where it changes from one settled side to the other."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Signs = NDArray[np.int8]

NO_SIDE_AHEAD_DEG: Final = 10.0
"""Within this angle of the bow the sails flap, the side is undecided [deg] (common practice, no source)."""

NO_SIDE_ASTERN_DEG: Final = 5.0
"""So near dead astern the wind's side says nothing about the boom [deg] (common practice, no source)."""

MAJORITY_S: Final = 9
"""A side counts when it leads by `MAJORITY_LEAD` within a window of this many seconds: one wave or one bad
reading changes nothing."""

MAJORITY_LEAD: Final = 0.3

SAME_SIDE_GAP_S: Final = 10
"""The wind may leave a side undecided for this long and the boat still be on the same side [s]."""

LONGEST_OUTAGE_S: Final = 60
OUTAGE_SHARE: Final = 0.7
"""Where most of a pause has no reading at all, it may last so long [s]: a receiver that was silent is no
change of side (our own limit)."""

SETTLED_S: Final = 20
"""A side is settled when it lasts this long [s]: the boat is sailing on it, not swinging through it."""


@dataclass(frozen=True)
class Run:
    """Rows `start` to `end` (not included) with the wind settled on one side: +1 starboard, -1 port."""

    start: int
    end: int
    side: int


@dataclass(frozen=True)
class Change:
    """From one settled side to the other, and the row at which the wind crossed over."""

    before: Run
    after: Run
    row: int

    @property
    def unsettled_s(self) -> int:
        """Seconds between the two settled sides."""
        return self.after.start - self.before.end


def wind_side(angle_deg: Array) -> Signs:
    """Return +1 for wind from starboard, -1 from port, 0 where undecided or unknown."""
    size = np.abs(angle_deg)
    decided = (size >= NO_SIDE_AHEAD_DEG) & (size <= 180.0 - NO_SIDE_ASTERN_DEG)
    return np.where(decided, np.sign(np.nan_to_num(angle_deg)), 0.0).astype(np.int8)


def settled_runs(angle_deg: Array) -> list[Run]:
    """Return the stretches with the wind settled on one side, in order."""
    joined: list[Run] = []
    unknown = np.concatenate([[0], np.cumsum(~np.isfinite(angle_deg))])
    for run in _raw_runs(_majority(wind_side(angle_deg))):
        last = joined[-1] if joined else None
        if last and last.side == run.side and _is_pause(last, run, unknown):
            joined[-1] = Run(last.start, run.end, run.side)
        else:
            joined.append(run)
    return [run for run in joined if run.end - run.start >= SETTLED_S]


def _is_pause(before: Run, after: Run, unknown: NDArray[np.int64]) -> bool:
    """Return whether what lies between two stretches on one side is short, or no reading at all."""
    seconds = after.start - before.end
    silent = unknown[after.start] - unknown[before.end]
    return seconds <= SAME_SIDE_GAP_S or (seconds <= LONGEST_OUTAGE_S and silent >= OUTAGE_SHARE * seconds)


def side_changes(angle_deg: Array) -> list[Change]:
    """Return every change from one settled side to the other; a short swing and back is none."""
    side = wind_side(angle_deg)
    runs = settled_runs(angle_deg)
    return [
        Change(before, after, _crossing(side, before, after))
        for before, after in pairwise(runs)
        if before.side != after.side
    ]


def _majority(side: Signs) -> Signs:
    if side.size == 0:
        return side
    kernel = np.full(MAJORITY_S, 1.0 / MAJORITY_S)
    lead = np.convolve(side, kernel, mode="full")[MAJORITY_S // 2 :][: side.size]
    return np.where(np.abs(lead) > MAJORITY_LEAD, np.sign(lead), 0.0).astype(np.int8)


def _raw_runs(side: Signs) -> list[Run]:
    """Return the stretches of one sign without a break, undecided ones left out."""
    edges = np.flatnonzero(np.diff(side)) + 1
    starts, ends = np.concatenate([[0], edges]), np.concatenate([edges, [side.size]])
    return [
        Run(int(start), int(end), int(side[start]))
        for start, end in zip(starts, ends, strict=True)
        if end > start and side[start] != 0
    ]


def _crossing(side: Signs, before: Run, after: Run) -> int:
    """Return the row that best parts the seconds on the old side from those on the new one.

    An angle of exactly 0 belongs to neither; of equally good rows the middle one is taken.
    """
    reach = MAJORITY_S
    low, high = max(before.end - reach, before.start), min(after.start + reach, after.end)
    piece = side[low:high]
    on_old = np.concatenate([[0], np.cumsum(piece == before.side)])
    on_new = np.concatenate([np.cumsum((piece == after.side)[::-1])[::-1], [0]])
    best = np.flatnonzero(on_old + on_new == (on_old + on_new).max())
    return low + int(best[best.size // 2])
