"""Sailing days in one log: a recorder that was never emptied holds several; each is debriefed by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.distance import position_metres
from cringle.track.race.correction import Correction
from cringle.track.reading.assemble import GAP_STEPS, SHORTEST_GAP_S
from cringle.track.reading.read import TrackLog

Array = NDArray[np.float64]

BETWEEN_S: Final = 3 * 3600
"""Without a fix, or without moving, for so long one day's sailing has ended [s]: a race past midnight is of
one day, an evening and the next afternoon are two (our own limit)."""

BIN_S: Final = 600
LYING_M: Final = 60.0
"""A boat that has moved less than this from one ten minutes to the next lies still [m] (our own limit)."""


@dataclass(frozen=True)
class SailingDay:
    """One day in a log: its local date, first and last fix (UTC), and number of fixes."""

    day: date
    start: datetime
    end: datetime
    rows: int

    @property
    def seconds(self) -> float:
        """From the first fix to the last."""
        return (self.end - self.start).total_seconds()


def days_of(track: pl.DataFrame, time_zone: str) -> tuple[SailingDay, ...]:
    """Return the sailing days in a track, earliest first; one for nearly every log.

    Parameters
    ----------
    track : DataFrame
        Sorted by time.
    time_zone : str
        IANA name; a day is the local date on which its sailing began.

    Notes
    -----
    The log is cut where nothing was recorded, or the boat did not move, for three hours; pieces that begin on
    the same date are one day.
    """
    time = track["time"]
    zone = ZoneInfo(time_zone)
    if track.height == 0:
        return ()
    first, last = (at.astimezone(zone).date() for at in (time[0], time[-1]))
    if first == last:
        return (SailingDay(first, time[0], time[-1], track.height),)
    edges = [0, *_cuts(track), track.height]
    found: list[SailingDay] = []
    for low, high in pairwise(edges):
        if high <= low:
            continue
        day = time[low].astimezone(zone).date()
        if found and found[-1].day == day:
            before = found.pop()
            found.append(SailingDay(day, before.start, time[high - 1], before.rows + high - low))
        else:
            found.append(SailingDay(day, time[low], time[high - 1], high - low))
    return tuple(found)


def _cuts(track: pl.DataFrame) -> list[int]:
    """Return the rows at which another piece begins: after a long pause, in the middle of lying still."""
    seconds = track["time"].dt.epoch("us").to_numpy().astype(np.float64) / 1e6
    pauses = np.flatnonzero(np.diff(seconds) >= BETWEEN_S) + 1
    middles = [int(np.searchsorted(seconds, at)) for at in _lying(track, seconds)]
    return sorted({*pauses.tolist(), *middles})


def _lying(track: pl.DataFrame, seconds: Array) -> list[float]:
    """Return the middle of each stretch of three hours or more in which the boat hardly moved [s].

    The first and last such stretch of a log, before and after all sailing, are no cuts.
    """
    lat, lon = (track[name].to_numpy().astype(np.float64) for name in ("lat", "lon"))
    known = np.isfinite(lat) & np.isfinite(lon)
    if known.sum() < 2:
        return []
    slot = ((seconds[known] - seconds[0]) // BIN_S).astype(np.int64)
    slots, place = np.unique(slot, return_index=True)
    north, east = position_metres(lat[known][place], lon[known][place])
    moved = np.hypot(np.diff(north), np.diff(east)) > LYING_M
    edges = np.flatnonzero(np.diff(np.concatenate([[1], moved.astype(np.int8), [1]])))
    middles = []
    for low, high in edges.reshape(-1, 2).tolist():
        begin, end = slots[low] * BIN_S + seconds[0], slots[high] * BIN_S + seconds[0]
        if end - begin >= BETWEEN_S and low > 0 and high < slots.size - 1:
            middles.append(0.5 * (begin + end))
    return middles


def only_day(log: TrackLog, one: SailingDay) -> TrackLog:
    """Return a log with nothing but one of its days in it.

    Parameters
    ----------
    log : TrackLog
        The whole log; its account of lines stays that of the whole file.
    one : SailingDay
        From `days_of`.
    """
    inside = pl.col("time").is_between(one.start, one.end)
    around = pl.col("time").is_between(one.start - timedelta(seconds=2), one.end + timedelta(seconds=2))
    track = log.track.filter(inside)
    side = {name: table.filter(around) for name, table in log.side.items()}
    steps = np.diff(track["time"].dt.epoch("us").to_numpy().astype(np.float64)) / 1e6
    limit = max(SHORTEST_GAP_S, GAP_STEPS * float(np.median(steps))) if steps.size else SHORTEST_GAP_S
    report = replace(log.report, gap_count=int((steps > limit).sum()))
    return TrackLog(track, {name: table for name, table in side.items() if table.height}, report)


def chosen_day(days: tuple[SailingDay, ...], wanted: date | None) -> SailingDay:
    """Return the day asked for, else the longest.

    Raises
    ------
    InputError
        The log has no such day; the message lists those it has.
    """
    if wanted is None:
        return max(days, key=lambda one: one.seconds)
    found = next((one for one in days if one.day == wanted), None)
    if found is None:
        have = ", ".join(one.day.isoformat() for one in days)
        raise InputError(f"no sailing on {wanted.isoformat()} in this log", next_step=f"it has: {have}")
    return found


AROUND: Final = timedelta(seconds=60)
"""A correction belongs to the day of a log that holds its time, give or take so much."""


def of_day(said: Sequence[Correction], one: SailingDay, days: Sequence[SailingDay]) -> tuple[Correction, ...]:
    """Return the corrections that belong to a day of a log; all where it has one day only."""
    if len(days) < 2:
        return tuple(said)
    return tuple(each for each in said if one.start - AROUND <= each.at <= one.end + AROUND)


def day_sentence(days: tuple[SailingDay, ...], shown: SailingDay) -> str | None:
    """Return that a log holds several days and which one this is; None for a log of one day."""
    if len(days) < 2:
        return None
    others = ", ".join(one.day.isoformat() for one in days if one is not shown)
    return (
        f"The file holds {len(days)} days of sailing. This is {shown.day.isoformat()};"
        f" for the others ({others}) say --day."
    )
