"""Which seconds of a run go to hoisting the kite after one mark and taking it down before the next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.ledger.rows import LegSpan
from cringle.track.sailing.sailing import Sailing
from cringle.track.sliding import mean_around
from cringle.track.turns.loss import ENTRY_S, LONGEST_RECOVERY_S, RECOVERED, TURN_S
from cringle.track.turns.loss_possible import Possible
from cringle.track.turns.loss_recovery import Recovery, Turned, recoveries

Array = NDArray[np.float64]

JOINED_S: Final = 30
"""A run begins or ends at a mark where another leg ends or begins within so long [s]."""

TURNED_S: Final = (8, 25)
"""From 8 s before a tack or gybe to 25 s after it the pace is not the usual one [s]."""

LONGEST_DROP_S: Final = 25
LONGEST_TURN_S: Final = 15
USUAL_OVER_S: Final = 45
ROUND_DEG: Final = 10.0
"""The bow is round when the angle is within 10 degrees of what it is 15 to 60 s into the beat (judgement)."""

SMOOTH_S: Final = 3
AT_THE_MARK_S: Final = 3
"""In the last seconds the boat may be turning already: her pace says nothing there [s]."""


def handling_rows(
    sailing: Sailing, legs: Sequence[LegSpan], crossings: Sequence[int], polar: FrozenPolar | None
) -> list[tuple[int, int, str]]:
    """Return first row, the one after the last, and ``set`` or ``drop``, for each mark of each run.

    Parameters
    ----------
    sailing : Sailing
        The log.
    legs : sequence of LegSpan
        Beats, runs and reaches in order.
    crossings : sequence of int
        Rows at which the wind crosses in tacks and gybes, in order.
    polar : FrozenPolar or None
        Of this boat; without it the pace is the speed.

    Notes
    -----
    A set lasts from the mark until 95 % of the usual pace is back, by the recovery curve of the log
    (`cringle.track.turns.loss_recovery`), at most `LONGEST_RECOVERY_S`. A drop takes the seconds before
    the mark in which the pace is below 95 % without a break, and those after it in which the bow turns
    onto the beat.
    What the turn onto the run costs is in the set.
    """
    pace = Possible(sailing, polar).pace(sailing)
    sets = [one for place, one in enumerate(legs) if one.kind == "run" and _joins(legs, place - 1, place)]
    drops = [
        (one, legs[place + 1])
        for place, one in enumerate(legs)
        if one.kind == "run" and _joins(legs, place, place + 1) and legs[place + 1].kind == "up"
    ]
    hoisted = _sets(pace, sets, legs, crossings)
    usual = _usual(pace, hoisted, crossings)
    lowered = [
        (_drop(usual, mean_around(pace, SMOOTH_S), run, crossings), _onto(sailing, beat), "drop")
        for run, beat in drops
    ]
    return [*hoisted, *lowered]


def clear_of(legs: Sequence[LegSpan], handled: Sequence[tuple[int, int, str]]) -> list[tuple[int, int]]:
    """Return the first row and the one after the last of each leg without its set and its drop."""
    found = []
    for one in legs:
        inside = [each for each in handled if one.first <= each[0] < one.end]
        first = max([end for _, end, kind in inside if kind == "set"], default=one.first)
        end = min([begin for begin, _, kind in inside if kind == "drop"], default=one.end)
        found.append((first, max(end, first)))
    return found


def _joins(legs: Sequence[LegSpan], before: int, after: int) -> bool:
    if before < 0 or after >= len(legs):
        return False
    return legs[after].first - legs[before].end <= JOINED_S


def _sets(
    pace: Array, sets: Sequence[LegSpan], legs: Sequence[LegSpan], crossings: Sequence[int]
) -> list[tuple[int, int, str]]:
    """Return the rows of the sets; the log's tacks and gybes help to tell how she gets her speed back."""

    def free(row: int) -> int:
        """Return the row after the last before the next manoeuvre or the end of the leg."""
        ends = [one.end for one in legs if one.first <= row < one.end]
        return min([one - ENTRY_S for one in crossings if one - ENTRY_S > row] + ends + [pace.size])

    turns = [Turned(one, free(one), float("nan")) for one in crossings]
    hoists = [Turned(one.first, free(one.first), float("nan")) for one in sets]
    back = recoveries(pace, [*turns, *hoists])[len(turns) :]
    return [(one.row, _set_end(pace, one, curve), "set") for one, curve in zip(hoists, back, strict=True)]


def _set_end(pace: Array, turn: Turned, curve: Recovery | None) -> int:
    limit = min(turn.row + LONGEST_RECOVERY_S, turn.end)
    first = min(turn.row + TURN_S, limit)
    if curve is not None:
        return int(np.clip(turn.row + np.ceil(curve.back_s(RECOVERED)), first, limit))
    usual = _mean(pace[min(turn.row + LONGEST_RECOVERY_S // 2, turn.end) : turn.end])
    again = np.flatnonzero(mean_around(pace, SMOOTH_S)[first:limit] >= RECOVERED * usual)
    return first + int(again[0]) if again.size else limit


def _usual(pace: Array, hoisted: Sequence[tuple[int, int, str]], crossings: Sequence[int]) -> Array:
    """Return the pace outside manoeuvres and sets, NaN inside."""
    clear = pace.copy()
    for row in crossings:
        clear[max(row - TURNED_S[0], 0) : row + TURNED_S[1]] = np.nan
    for first, end, _ in hoisted:
        clear[first:end] = np.nan
    return clear


def _drop(usual: Array, smooth: Array, run: LegSpan, crossings: Sequence[int]) -> int:
    """Return the first of the seconds before the mark in which the boat was slow without a break."""
    known = usual[run.first : max(run.end - LONGEST_DROP_S, run.first)]
    known = known[np.isfinite(known)]
    free = [row + TURNED_S[1] for row in crossings if run.first <= row < run.end]
    first = max([run.first, run.end - LONGEST_DROP_S, *free])
    if not known.size or first >= run.end:
        return run.end
    slow = smooth[first : run.end] < RECOVERED * float(np.median(known))
    slow[-AT_THE_MARK_S:] |= slow[-AT_THE_MARK_S - 1 : -AT_THE_MARK_S].any()
    fast = np.flatnonzero(~slow)
    return first + (int(fast[-1]) + 1 if fast.size else 0)


def _onto(sailing: Sailing, beat: LegSpan) -> int:
    """Return the first row of a beat on which the bow is round from the run."""
    angle = np.abs(sailing.angle_deg[beat.first : beat.end])
    usual = _mean(angle[LONGEST_TURN_S : LONGEST_TURN_S + USUAL_OVER_S])
    near = np.flatnonzero(angle[:LONGEST_TURN_S] <= usual + ROUND_DEG)
    return min(beat.first + (int(near[0]) if near.size else 0), beat.end)


def _mean(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")
