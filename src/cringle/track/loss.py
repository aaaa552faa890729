"""What each tack and gybe cost: speeds, turn rate, recovery, and metres lost against sailing on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import unwind_deg
from cringle.track.sailing import Sailing
from cringle.track.sliding import mean_around
from cringle.units import knots_to_metres_per_second

Array = NDArray[np.float64]

FROM_S: Final = 8
TO_S: Final = 42
"""Metres are summed from 8 s before the wind crosses to 42 s after it, or to the next manoeuvre."""

BEFORE_S: Final = (45, 9)
AFTER_S: Final = (43, 75)
"""Sailing on is judged by what was sailed 45 to 9 s before and 43 to 75 s after, outside other manoeuvres."""

LEAST_STEADY_S: Final = 8
"""Fewer seconds than this before, or after, say nothing about sailing on [s]."""

RECOVERED: Final = 0.95
"""Share of the entry speed at which the boat has recovered."""

ENTRY_S: Final = 5
LONGEST_RECOVERY_S: Final = 45
SMOOTH_S: Final = 5
"""Speeds are averaged over 5 s before the lowest and the recovered one are looked for [s]."""

TURN_S: Final = 8
SETTLE_S: Final = (4, 14)
"""The turn rate is the fastest within 8 s of the crossing; overshoot shows 4 to 14 s after it."""


@dataclass(frozen=True)
class Loss:
    """One manoeuvre in numbers; None where the log cannot tell.

    Parameters
    ----------
    at : datetime
        When the wind crossed, UTC.
    kind : str
        ``tack`` or ``gybe``.
    entry_kn, lowest_kn, exit_kn : float or None
        Speed before, at its lowest, and once settled after.
    turn_rate_deg_per_s : float or None
        Fastest turn of the course over two seconds.
    recovery_s : float or None
        From the crossing to 95 % of the entry speed; None when that was not reached.
    metres_lost : float or None
        To windward (tack) or to leeward (gybe), against sailing on as before and after.
    overshoot_deg : float or None
        How much further from the wind (tack: too low; gybe: too high) than later on the new side, at most.
    heel_before_deg, heel_after_deg : float or None
        Mean heel before, and in the first 15 s on the new side.
    heel_trace_deg : tuple of float or None
        Heel to leeward every 5 s from 10 s before to 40 s after.
    first_row, end_row : int
        Rows charged to the manoeuvre: from 5 s before the crossing to 95 % of the speed.
    """

    at: datetime
    kind: str
    entry_kn: float | None
    lowest_kn: float | None
    exit_kn: float | None
    turn_rate_deg_per_s: float | None
    recovery_s: float | None
    metres_lost: float | None
    overshoot_deg: float | None
    heel_before_deg: float | None
    heel_after_deg: float | None
    heel_trace_deg: tuple[float | None, ...]
    first_row: int
    end_row: int


TRACE_S: Final = tuple(range(-10, 41, 5))
"""Seconds from the crossing at which the heel of a manoeuvre is given."""


@dataclass(frozen=True)
class _Signals:
    """What losses are read from, prepared once for the whole log."""

    speed: Array
    smooth: Array
    good: dict[str, Array]
    course: Array
    angle: Array
    heel: Array


@dataclass(frozen=True)
class _Room:
    """The crossing of one manoeuvre and the rows around it that are free of others."""

    row: int
    first: int
    last: int


def manoeuvre_losses(
    sailing: Sailing,
    manoeuvres: Sequence[tuple[datetime, str]],
    *,
    target_kn: Mapping[str, Array] | None = None,
    legs: Sequence[tuple[int, int]] = (),
) -> tuple[Loss, ...]:
    """Return what manoeuvres cost.

    Parameters
    ----------
    sailing : Sailing
        The log.
    manoeuvres : sequence of (datetime, str)
        When the wind crossed and ``tack`` or ``gybe``, in order of time.
    target_kn : mapping of str to array, optional
        For each kind the target speed made good at the wind of each second. With it, a gust during the
        manoeuvre does not count for or against it; without it sailing on is a straight line from before to
        after.
    legs : sequence of (int, int)
        First row and the one after the last of each leg: sailing before a mark says nothing about sailing
        after it.
    """
    signals = _signals(sailing)
    rows = [sailing.row_of(at) for at, _ in manoeuvres]
    found = []
    for place, (at, kind) in enumerate(manoeuvres):
        before = rows[place - 1] + TO_S // 2 if place else 0
        after = rows[place + 1] - ENTRY_S if place + 1 < len(rows) else sailing.rows
        first, last = _leg_of(rows[place], legs, sailing.rows)
        room = _Room(
            rows[place], min(max(before, first), rows[place]), max(min(after, last), rows[place] + 1)
        )
        found.append(_loss(signals, room, (at, kind), (target_kn or {}).get(kind)))
    return tuple(found)


def _leg_of(row: int, legs: Sequence[tuple[int, int]], rows: int) -> tuple[int, int]:
    """Return the rows of the leg a row is on; between legs those up to the next one; all without legs."""
    for first, end in legs:
        if first <= row < end:
            return first, end
    starts = [first for first, _ in legs if first > row]
    ends = [end for _, end in legs if end <= row]
    return max(ends, default=0), min(starts, default=rows)


def _signals(sailing: Sailing) -> _Signals:
    windward = sailing.to_windward_kn()
    return _Signals(
        speed=sailing.speed_kn,
        smooth=mean_around(sailing.speed_kn, SMOOTH_S),
        good={"tack": windward, "gybe": -windward},
        course=unwind_deg(sailing.course_deg),
        angle=np.abs(sailing.angle_deg),
        heel=sailing.heel_deg,
    )


def _loss(signals: _Signals, room: _Room, which: tuple[datetime, str], target: Array | None) -> Loss:
    row = room.row
    before = slice(max(row - BEFORE_S[0], room.first), max(row - BEFORE_S[1], room.first))
    after = slice(min(row + AFTER_S[0], room.last), min(row + AFTER_S[1], room.last))
    entry = _mean(signals.speed[max(row - 20, room.first) : max(row - ENTRY_S, room.first)])
    _, lowest = _lowest(signals.smooth, row, room)
    pace = signals.smooth if target is None else mean_around(signals.speed / target, SMOOTH_S)
    pace_row, _ = _lowest(pace, row, room)
    usual = _mean(pace[max(row - 30, room.first) : max(row - ENTRY_S, room.first)])
    end = _recovered(pace, pace_row, usual, room)
    reached = end < min(row + LONGEST_RECOVERY_S, room.last)
    return Loss(
        at=which[0],
        kind=which[1],
        entry_kn=_known(entry),
        lowest_kn=_known(lowest),
        exit_kn=_known(_mean(signals.speed[after])),
        turn_rate_deg_per_s=_turn_rate(signals.course, row),
        recovery_s=float(end - row) if reached else None,
        metres_lost=_metres(signals.good[which[1]], room, (before, after), target),
        overshoot_deg=_overshoot(signals.angle, row, after, which[1]),
        heel_before_deg=_known(_mean(signals.heel[before])),
        heel_after_deg=_known(_mean(signals.heel[row : min(row + 15, room.last)])),
        heel_trace_deg=tuple(_at(signals.heel, row + step) for step in TRACE_S),
        first_row=max(row - ENTRY_S, room.first),
        end_row=end,
    )


def _metres(good: Array, room: _Room, steady: tuple[slice, slice], target: Array | None) -> float | None:
    """Return metres lost against sailing on; None where the log has too many holes to tell."""
    rows = np.arange(max(room.row - FROM_S, room.first), min(room.row + TO_S, room.last))
    scale = np.ones(good.size) if target is None else target
    part = [good[one] / scale[one] for one in steady]
    part = [np.where(one > 0.0, one, np.nan) for one in part]
    usual = [_mean(one) if np.isfinite(one).sum() >= LEAST_STEADY_S else np.nan for one in part]
    known = [one for one in usual if np.isfinite(one)]
    made = good[rows]
    if not known or np.isfinite(made).mean() < 0.7:
        return None
    first, last = (one if np.isfinite(one) else known[0] for one in usual)
    share = np.linspace(0.0, 1.0, rows.size)
    lost = (first + (last - first) * share) * scale[rows] - made
    return float(knots_to_metres_per_second(float(np.nanmean(lost)) * rows.size))


def _lowest(smooth: Array, row: int, room: _Room) -> tuple[int, float]:
    part = smooth[row : min(row + 20, room.last)]
    if not np.isfinite(part).any():
        return row, float("nan")
    place = int(np.nanargmin(part))
    return row + place, float(part[place])


def _recovered(smooth: Array, low_row: int, entry: float, room: _Room) -> int:
    """Return the first row after the turn and the lowest speed with 95 % of the entry speed, or the limit."""
    limit = min(room.row + LONGEST_RECOVERY_S, room.last)
    first = min(max(low_row, room.row + TURN_S), limit)
    back = np.flatnonzero(smooth[first:limit] >= RECOVERED * entry)
    return first + int(back[0]) if back.size else max(limit, first)


def _turn_rate(course: Array, row: int) -> float | None:
    part = course[max(row - TURN_S, 0) : row + TURN_S + 1]
    rates = np.abs(part[2:] - part[:-2]) / 2.0
    return float(np.nanmax(rates)) if np.isfinite(rates).any() else None


def _overshoot(angle: Array, row: int, after: slice, kind: str) -> float | None:
    """Return how much further off the wind (tack) or nearer to it (gybe) than later on the new side."""
    first = mean_around(angle[row + SETTLE_S[0] : row + SETTLE_S[1]], 3)
    later = _mean(angle[after])
    if not (np.isfinite(first).any() and np.isfinite(later)):
        return None
    beyond = float(np.nanmax(first)) - later if kind == "tack" else later - float(np.nanmin(first))
    return max(beyond, 0.0)


def _at(values: Array, row: int) -> float | None:
    part = values[max(row - 1, 0) : max(row + 2, 0)]
    return _known(_mean(part))


def _mean(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
