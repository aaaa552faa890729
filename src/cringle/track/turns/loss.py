"""What each tack and gybe cost: speeds, turn rate, recovery, and metres lost against sailing on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import unwind_deg
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.sailing.sailing import Sailing
from cringle.track.sliding import mean_around
from cringle.track.turns.loss_possible import Possible
from cringle.track.turns.loss_recovery import Recovery, Turned, recoveries
from cringle.units import degrees_to_radians, knots_to_metres_per_second

Array = NDArray[np.float64]

FROM_S: Final = 8
TO_S: Final = 45
"""Metres are summed from 8 s before the wind crosses to 45 s after it, or to the next manoeuvre."""

BEFORE_S: Final = (45, 8)
AFTER_S: Final = (25, 75)
"""Pace and angle before are those 45 to 8 s before the crossing, the angle after that of 25 to 75 s after."""

EXIT_S: Final = (43, 75)
"""The exit speed is that of 43 to 75 s after the crossing."""

SETTLED_S: Final = 15
"""From so long after the crossing only the missing pace is lost: turn and overshoot are over [s]."""

AT_THE_END_S: Final = 10
"""A crossing so soon after the end of a leg belongs to it [s]: the leg ends where speed or angle change."""

FEWEST_SHARE: Final = 0.7
"""With fewer of the seconds known than this nothing is said of metres."""

LEAST_STEADY_S: Final = 8
"""Fewer seconds than this before, or after, say nothing about sailing on [s]."""

RECOVERED: Final = 0.95
"""Share of the usual pace at which the boat has recovered."""

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
        From the crossing to 95 % of the usual pace; None when that was not reached.
    metres_lost : float or None
        To windward (tack) or to leeward (gybe), against sailing on as before and after.
    overshoot_deg : float or None
        How much further from the wind (tack: too low; gybe: too high) than later on the new side, at most.
    heel_before_deg, heel_after_deg : float or None
        Mean heel before, and in the first 15 s on the new side.
    heel_trace_deg : tuple of float or None
        Heel to leeward every 5 s from 10 s before to 40 s after.
    first_row, end_row : int
        Rows charged to the manoeuvre: from 5 s before the crossing to 95 % of the pace.
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
    course: Array
    angle: Array
    heel: Array
    usual: Possible


@dataclass(frozen=True)
class _Room:
    """The crossing of one manoeuvre, its kind, and the rows around it that are free of others."""

    row: int
    kind: str
    first: int
    last: int

    def rows(self, low: int, high: int) -> slice:
        """Return the free rows between seconds from the crossing."""
        return slice(
            min(max(self.row + low, self.first), self.last), min(max(self.row + high, self.first), self.last)
        )


def manoeuvre_losses(
    sailing: Sailing,
    manoeuvres: Sequence[tuple[datetime, str]],
    *,
    polar: FrozenPolar | None = None,
    legs: Sequence[tuple[int, int]] = (),
) -> tuple[Loss, ...]:
    """Return what manoeuvres cost.

    Parameters
    ----------
    sailing : Sailing
        The log.
    manoeuvres : sequence of (datetime, str)
        When the wind crossed and ``tack`` or ``gybe``, in order of time.
    polar : FrozenPolar, optional
        Of this boat. With it the pace is speed over what she can do at the wind, angle and heel of each
        second, so that a gust or a helm who bears away during the manoeuvre counts neither for nor against
        it; without it the pace is the speed.
    legs : sequence of (int, int)
        First row and the one after the last of each leg: sailing before a mark says nothing about sailing
        after it.

    Notes
    -----
    Metres lost are those of sailing on less those made good, to windward or leeward: up to `SETTLED_S` after
    the crossing sailing on is the pace and the angle of before, then of after, at the wind of each second;
    from then on what is lost is the pace still missing, by the curve of `loss_recovery`.
    """
    usual = Possible(sailing, polar)
    signals = _signals(sailing, usual)
    rooms = _rooms(sailing, manoeuvres, legs)
    pace = usual.pace(sailing)
    before = [_mean_of(pace[one.rows(-BEFORE_S[0], -BEFORE_S[1])]) for one in rooms]
    back = recoveries(
        pace, [Turned(one.row, one.last, pace_before) for one, pace_before in zip(rooms, before, strict=True)]
    )
    return tuple(
        _loss(signals, room, at, _Pace(pace, was, curve))
        for room, (at, _), was, curve in zip(rooms, manoeuvres, before, back, strict=True)
    )


def _rooms(
    sailing: Sailing, manoeuvres: Sequence[tuple[datetime, str]], legs: Sequence[tuple[int, int]]
) -> list[_Room]:
    rows = [sailing.row_of(at) for at, _ in manoeuvres]
    found = []
    for place, (_, kind) in enumerate(manoeuvres):
        before = rows[place - 1] + TO_S // 2 if place else 0
        after = rows[place + 1] - ENTRY_S if place + 1 < len(rows) else sailing.rows
        first, last = _leg_of(rows[place], legs, sailing.rows)
        found.append(
            _Room(
                rows[place],
                kind,
                min(max(before, first), rows[place]),
                max(min(after, last), rows[place] + 1),
            )
        )
    return found


def _leg_of(row: int, legs: Sequence[tuple[int, int]], rows: int) -> tuple[int, int]:
    """Return the rows of the leg a row is on; between legs those up to the next one; all without legs."""
    for first, end in legs:
        if first <= row < end + AT_THE_END_S:
            return first, max(end, row + 1)
    starts = [first for first, _ in legs if first > row]
    ends = [end for _, end in legs if end <= row]
    return max(ends, default=0), min(starts, default=rows)


@dataclass(frozen=True)
class _Pace:
    """Speed over the possible one, its mean before a turn, and how it came back (None: in another way)."""

    all: Array
    before: float
    back: Recovery | None

    def after(self, room: _Room) -> float:
        """Return the pace that the boat settled to."""
        if self.back is not None:
            return self.back.settled
        return _mean_of(self.all[room.rows(*AFTER_S)])


def _signals(sailing: Sailing, usual: Possible) -> _Signals:
    return _Signals(
        speed=sailing.speed_kn,
        smooth=mean_around(sailing.speed_kn, SMOOTH_S),
        course=unwind_deg(sailing.course_deg),
        angle=np.abs(sailing.angle_deg),
        heel=sailing.heel_deg,
        usual=usual,
    )


def _loss(signals: _Signals, room: _Room, at: datetime, pace: _Pace) -> Loss:
    row = room.row
    before, after = room.rows(-BEFORE_S[0], -BEFORE_S[1]), room.rows(*EXIT_S)
    end = _end(room, pace)
    limit = min(row + LONGEST_RECOVERY_S, room.last)
    return Loss(
        at=at,
        kind=room.kind,
        entry_kn=_known(_mean(signals.speed[room.rows(-20, -ENTRY_S)])),
        lowest_kn=_known(_lowest(signals.smooth, room)[1]),
        exit_kn=_known(_mean(signals.speed[after])),
        turn_rate_deg_per_s=_turn_rate(signals.course, row),
        recovery_s=float(end - row) if end < limit else None,
        metres_lost=_metres(signals, room, pace),
        overshoot_deg=_overshoot(signals.angle, row, after, room.kind),
        heel_before_deg=_known(_mean(signals.heel[before])),
        heel_after_deg=_known(_mean(signals.heel[row : min(row + 15, room.last)])),
        heel_trace_deg=tuple(_at(signals.heel, row + step) for step in TRACE_S),
        first_row=max(row - ENTRY_S, room.first),
        end_row=end,
    )


def _end(room: _Room, pace: _Pace) -> int:
    """Return the first row after the turn at which `RECOVERED` of the usual pace is back, or the limit."""
    limit = min(room.row + LONGEST_RECOVERY_S, room.last)
    if pace.back is not None:
        first = room.row + max(int(np.ceil(pace.back.back_s(RECOVERED))), TURN_S)
        return min(first, max(limit, room.row))
    smooth = mean_around(pace.all, SMOOTH_S)
    first = min(max(_lowest(smooth, room)[0], room.row + TURN_S), limit)
    usual = pace.before if np.isfinite(pace.before) else pace.after(room)
    back = np.flatnonzero(smooth[first:limit] >= RECOVERED * usual)
    return first + int(back[0]) if back.size else max(limit, first)


def _metres(signals: _Signals, room: _Room, pace: _Pace) -> float | None:
    """Return metres lost against sailing on; None where the log has too many holes to tell."""
    rows = np.arange(max(room.row - FROM_S, room.first), min(room.row + TO_S, room.last))
    before, after = pace.before, pace.after(room)
    usual = [one for one in (before, after) if np.isfinite(one)]
    angles = [
        _mean_of(signals.angle[part]) for part in (room.rows(-BEFORE_S[0], -BEFORE_S[1]), room.rows(*AFTER_S))
    ]
    known = [one for one in angles if np.isfinite(one)]
    if (
        room.last - room.row < SETTLED_S
        or not usual
        or not known
        or np.isfinite(signals.speed[rows]).mean() < FEWEST_SHARE
    ):
        return None
    late = (rows - room.row >= SETTLED_S) if pace.back is not None else np.zeros(rows.size, dtype=bool)
    crossed = rows >= room.row
    was, then = (
        angles[0] if np.isfinite(angles[0]) else known[0],
        angles[1] if len(known) == 2 else known[-1],
    )
    on_angle = np.where(late, signals.angle[rows], np.where(crossed, then, was))
    on_heel = np.where(late, signals.heel[rows], _heel_around(signals, room))
    sign = 1.0 if room.kind == "tack" else -1.0
    possible = signals.usual.speed_kn(rows, np.nan_to_num(on_angle), on_heel)
    along = sign * possible * np.cos(degrees_to_radians(on_angle))
    on_pace = np.where(crossed, usual[-1], usual[0])
    made = sign * signals.speed[rows] * np.cos(degrees_to_radians(signals.angle[rows]))
    missing = np.zeros(rows.size) if pace.back is None else pace.back.missing((rows - room.row).astype(float))
    lost = np.where(late, missing * along, on_pace * along - made)
    return float(knots_to_metres_per_second(float(np.nanmean(lost)) * rows.size))


def _heel_around(signals: _Signals, room: _Room) -> float:
    """Return the heel of sailing on: the mean of before and after."""
    parts = [signals.heel[room.rows(-BEFORE_S[0], -BEFORE_S[1])], signals.heel[room.rows(*AFTER_S)]]
    return _mean(np.concatenate(parts))


def _lowest(smooth: Array, room: _Room) -> tuple[int, float]:
    part = smooth[room.row : min(room.row + 20, room.last)]
    if not np.isfinite(part).any():
        return room.row, float("nan")
    place = int(np.nanargmin(part))
    return room.row + place, float(part[place])


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


def _mean_of(values: Array) -> float:
    """Return the mean of at least `LEAST_STEADY_S` seconds, else NaN."""
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size >= LEAST_STEADY_S else float("nan")


def _mean(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
