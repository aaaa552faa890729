"""Give readings their times and join them to position fixes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.clock import MICROSECONDS_PER_SECOND, Micros
from cringle.track.reading.nmea_fields import Floats
from cringle.track.reading.nmea_frame import Index
from cringle.track.schema import DIRECTIONS, JOIN_WINDOW_S, SIGNED_ANGLES
from cringle.units import wrap_degrees, wrap_signed_degrees

WINDOW_US: Final = int(JOIN_WINDOW_S * MICROSECONDS_PER_SECOND)
LONGEST_STEP_US: Final = 10 * MICROSECONDS_PER_SECOND
"""Fixes further apart than this do not time the lines between them, unless lines came at the usual rate."""

STEADY_RATIO: Final = 3.0
"""Lines came at the usual rate when the time per line is below this many times the usual one."""


@dataclass(frozen=True)
class Reading:
    """Readings of one source of one channel, in time order.

    Parameters
    ----------
    line : array of int64
        Line of each reading.
    time : array of int64
        Its time. [us]
    values : dict of arrays
        Track column to values, NaN where the source did not give it.
    """

    line: Index
    time: Micros
    values: dict[str, Floats]

    def take(self, which: NDArray[np.int64] | NDArray[np.bool_] | slice) -> Reading:
        """Return some of the readings."""
        return Reading(
            self.line[which], self.time[which], {name: one[which] for name, one in self.values.items()}
        )


def concatenate(first: Reading, second: Reading) -> Reading:
    """Return two runs of readings of the same source as one."""
    return Reading(
        np.concatenate((first.line, second.line)),
        np.concatenate((first.time, second.time)),
        {name: np.concatenate((first.values[name], second.values[name])) for name in first.values},
    )


@dataclass(frozen=True)
class LineClock:
    """Turns line numbers into times by the fixes around them.

    Parameters
    ----------
    line, time : arrays, shape (n,)
        Lines of fixes, ascending, and their times. [us]
    per_line : float
        Usual time per line. [us]
    """

    line: Index
    time: Micros
    per_line: float

    def at(self, lines: Index) -> tuple[Micros, NDArray[np.bool_]]:
        """Return the time of each line, and whether a fix is near enough to know it.

        Lines between two fixes are spread evenly; after a fix that a gap follows, and beyond the ends, they
        follow the usual rate, and for no longer than `LONGEST_STEP_US`.
        """
        left = np.clip(np.searchsorted(self.line, lines, side="right") - 1, 0, len(self.line) - 1)
        right = np.minimum(left + 1, len(self.line) - 1)
        span = (self.line[right] - self.line[left]).astype(np.float64)
        step = (self.time[right] - self.time[left]).astype(np.float64)
        steady = (step <= LONGEST_STEP_US) | (step <= STEADY_RATIO * self.per_line * span)
        between = (span > 0) & (step > 0) & steady & (lines >= self.line[left])
        ahead = (lines - self.line[left]).astype(np.float64)
        rate = np.where(between, step / np.maximum(span, 1.0), self.per_line)
        offset = ahead * rate
        known: NDArray[np.bool_] = between | (np.abs(offset) <= LONGEST_STEP_US)
        return self.time[left] + np.rint(offset).astype(np.int64), known


def usual_time_per_line(line: Index, time: Micros) -> float:
    """Return the median time per line between neighbouring fixes [us]; 0 when there is no such pair."""
    step, span = np.diff(time), np.diff(line)
    good = (step > 0) & (step <= LONGEST_STEP_US) & (span > 0)
    return float(np.median(step[good] / span[good])) if good.any() else 0.0


def join_column(name: str, times: Micros, reading: Reading) -> Floats:
    """Return one column of a source at the times of fixes.

    Parameters
    ----------
    name : str
        Track column.
    times : array, shape (n,)
        Times of fixes, ascending. [us]
    reading : Reading
        Readings with that column, in time order.

    Returns
    -------
    array, shape (n,)
        The nearest earlier value not older than `JOIN_WINDOW_S`, else NaN. An angle is interpolated on the
        circle, by the shorter way, when the next reading is as near.
    """
    values = reading.values[name]
    given = ~np.isnan(values)
    values, stamps = values[given], reading.time[given]
    if not len(values):
        return np.full(len(times), np.nan)
    earlier = np.searchsorted(stamps, times, side="right") - 1
    left = np.maximum(earlier, 0)
    age = times - stamps[left]
    fresh = (earlier >= 0) & (age <= WINDOW_US)
    result = values[left]
    if name in DIRECTIONS or name in SIGNED_ANGLES:
        right = np.minimum(left + 1, len(values) - 1)
        wait = stamps[right] - times
        both = fresh & (wait > 0) & (wait <= WINDOW_US)
        turn = wrap_signed_degrees(values[right] - values[left])
        share = age / np.maximum(age + wait, 1)
        turned = values[left] + turn * share
        wrapped = wrap_signed_degrees(turned) if name in SIGNED_ANGLES else wrap_degrees(turned)
        result = np.where(both & (age > 0), wrapped, result)
    return np.where(fresh, result, np.nan)


def coalesce(columns: list[Floats]) -> Floats:
    """Return the first value that is known, column by column in order of preference."""
    result = columns[0]
    for other in columns[1:]:
        result = np.where(np.isnan(result), other, result)
    return result
