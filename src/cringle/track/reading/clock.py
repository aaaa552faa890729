"""Repair the clock of a log: steps that are too coarse, single wrong stamps, dates cycles too early.

Times here are whole microseconds since 1970-01-01 UTC, in the order of the lines of the log.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.report import WeekShift

Micros = NDArray[np.int64]
Mask = NDArray[np.bool_]

MICROSECONDS_PER_SECOND: Final = 1_000_000
SECONDS_PER_DAY: Final = 86_400
SPIKE_NEIGHBOURS_S: Final = 30
"""A stamp outside its two neighbours is a spike when those are no further apart than this [s]."""

ROLLOVER_WEEKS: Final = 1024
"""Cycle of the GPS week number in the legacy navigation message. IS-GPS-200, 20.3.3.3.1.1."""


@dataclass(frozen=True)
class Coarse:
    """A clock field that moves in steps longer than the time between fixes.

    Parameters
    ----------
    period : float
        Length of one step of the field [us].
    spacing : float
        True time between two fixes [us].
    """

    period: float
    spacing: float


def unwrap_days(clock_s: NDArray[np.float64], first_day: float) -> NDArray[np.float64]:
    """Return the day of each time of day, one more after every midnight.

    Parameters
    ----------
    clock_s : array, shape (n,)
        Seconds of the day in the order of the log. [s]
    first_day : float
        Day of the first one, in days since 1970-01-01.

    Returns
    -------
    array, shape (n,)
        Days since 1970-01-01. A step back of more than half a day is a midnight, a step on of more than half
        a day is a sentence that came late, from before it.
    """
    steps = np.diff(clock_s, prepend=clock_s[:1])
    half = SECONDS_PER_DAY / 2
    return first_day + np.cumsum((steps < -half).astype(float) - (steps > half).astype(float))


def repair_spikes(times: Micros) -> tuple[Micros, int]:
    """Return times with single stamps that lie outside both neighbours put midway between them, and how many.

    Parameters
    ----------
    times : array, shape (n,)
        Stamps in the order of the log. [us]
    """
    if len(times) < 3:
        return times, 0
    before, at, after = times[:-2], times[1:-1], times[2:]
    close = (after >= before) & (after - before <= SPIKE_NEIGHBOURS_S * MICROSECONDS_PER_SECOND)
    spike = close & ((at < before) | (at > after))
    if not spike.any():
        return times, 0
    repaired = times.copy()
    repaired[1:-1][spike] = before[spike] + (after[spike] - before[spike]) // 2
    return repaired, int(spike.sum())


def _runs(times: Micros) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where runs of equal stamps begin and how long they are."""
    begins = np.flatnonzero(np.diff(times, prepend=times[:1] - 1))
    return begins, np.diff(np.append(begins, len(times)))


def find_coarse(times: Micros, repeated: Mask) -> Coarse | None:
    """Return the step of a clock that moves less often than fixes come, or None.

    Parameters
    ----------
    times : array, shape (n,)
        Stamps in the order of the log. [us]
    repeated : array of bool, shape (n,)
        Whether a fix is in every value the same as the one before it: a repetition, not a new fix.

    Notes
    -----
    The typical inner run has two fixes or more with one stamp, and they are different fixes.
    """
    if len(times) < 6:
        return None
    begins, lengths = _runs(times)
    inner = lengths[1:-1]
    if len(inner) < 2 or np.median(inner) < 2:
        return None
    same_stamp = np.diff(times, prepend=times[:1] - 1) == 0
    if repeated[same_stamp].mean() > 0.5:
        return None
    advance = np.diff(times[begins])[1:]
    useful = advance > 0
    if not useful.any():
        return None
    period = float(np.median(advance[useful]))
    return Coarse(period, float(np.median(advance[useful] / inner[useful])))


def spread_coarse(times: Micros, coarse: Coarse, *, opening: bool) -> Micros:
    """Return times with the fixes of each clock step spread evenly over it.

    Parameters
    ----------
    times : array, shape (n,)
        Stamps in the order of the log. [us]
    coarse : Coarse
        Step of the field and spacing of fixes.
    opening : bool
        Whether the first run may have begun before the log did; it is then counted back from the second.

    Notes
    -----
    The field takes its new value at the true time: the first fix of a run keeps its stamp. The last run, and
    one before a gap, go on at the usual spacing; one after a gap is counted back from the next.
    """
    begins, lengths = _runs(times)
    stamp = times[begins].astype(np.float64)
    advance = np.append(np.diff(stamp), np.inf)
    regular = (advance > 0) & (advance <= 1.5 * coarse.period)
    spacing = np.where(regular, advance / lengths, coarse.spacing)
    after_gap = np.append(opening, ~regular[:-1])
    short = lengths * coarse.spacing < 0.999 * coarse.period
    counted_back = after_gap & regular & short
    spacing[counted_back] = coarse.spacing
    origin = np.where(counted_back, stamp + np.where(regular, advance, 0.0) - lengths * coarse.spacing, stamp)
    place = np.arange(len(times)) - np.repeat(begins, lengths)
    spread: Micros = np.rint(np.repeat(origin, lengths) + place * np.repeat(spacing, lengths)).astype(
        np.int64
    )
    return spread


def to_datetime(micros: int) -> datetime:
    """Return a UTC datetime from microseconds since 1970-01-01."""
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=int(micros))


def suspect_rollover(start: datetime, now: datetime) -> WeekShift | None:
    """Return the shifted guess when the date may lie whole GPS week cycles too early, else None.

    Parameters
    ----------
    start : datetime
        First time of the log.
    now : datetime
        The guess never lies after this.

    Notes
    -----
    Only a date that, moved on by at least one cycle of 1024 weeks, is still not in the future can come from a
    rollover. The guess is the latest such date. A genuine old log looks the same; so it is reported, not
    applied.
    """
    cycle = timedelta(weeks=ROLLOVER_WEEKS)
    cycles = (now - start) // cycle
    if cycles < 1:
        return None
    return WeekShift(start, start + cycles * cycle, cycles * ROLLOVER_WEEKS)
