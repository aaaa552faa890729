"""NMEA 0183: the position fixes of a log, dated and with a repaired clock."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Final

import numpy as np

from cringle.errors import InputError
from cringle.track.reading.assemble import Fixes
from cringle.track.reading.clock import (
    MICROSECONDS_PER_SECOND,
    SECONDS_PER_DAY,
    Coarse,
    Mask,
    Micros,
    find_coarse,
    repair_spikes,
    spread_coarse,
    unwrap_days,
)
from cringle.track.reading.nmea import Parsed, Table
from cringle.track.reading.nmea_fields import Floats

FIX_KINDS: Final = ("RMC", "GGA", "GLL")
"""Sentences that make rows of the track; a log uses the first of these that it has."""

MOST_HELD: Final = 100_000
"""Fixes with one stamp kept back before the clock is taken for stuck."""

LEAST_TO_CHANGE: Final = 200
"""Fixes of another kind or talker in one block, and none of the chosen, that make the log change over."""

LEAST_STAMPS: Final = 12
"""Different stamps wanted before the step of the clock is judged."""

HALF_DAY_S: Final = SECONDS_PER_DAY / 2


@dataclass
class FixQueue:
    """Fixes of blocks in the order of the log, held back until the clock is settled.

    Parameters
    ----------
    given_date : date or None
        Day of the first fix, for a log without a date of its own.
    shift_days : int
        Days added to every date, for a receiver that shows whole week cycles too early.

    Attributes
    ----------
    date_source, fix_source : str
        Where the dates and the positions came from.
    repairs : dict
        Kind of clock fault to the number of fixes repaired.
    """

    given_date: date | None = None
    shift_days: int = 0
    date_source: str = ""
    fix_source: str = ""
    repairs: dict[str, int] = field(default_factory=dict)
    _talker: int | None = None
    _anchor: tuple[int, float, float] | None = None
    _coarse: Coarse | None = None
    _opening: bool = True
    _held: Fixes | None = None
    _before: Micros = field(default_factory=lambda: np.empty(0, dtype=np.int64))

    def take(self, block: Parsed) -> None:
        """Add the fixes of a block to those held, with the stamps they carry."""
        anchors = self._date_anchors(block)
        table = self._fix_table(block)
        if table is not None:
            fixes = self._stamped(table, anchors)
            self._held = fixes if self._held is None else _append(self._held, fixes)
        if anchors is not None and self.date_source != "given":
            self._anchor = (int(anchors[0][-1]), float(anchors[1][-1]), float(anchors[2][-1]))

    def settle(self, *, final: bool) -> tuple[Fixes, Fixes]:
        """Return the fixes whose times are settled, and the ones held back (none when final).

        The fixes of the last stamp are held back: how many more there are of it is not yet known.
        """
        if self._held is None:
            empty = np.empty(0, dtype=np.int64)
            return Fixes(empty, empty, {}), Fixes(empty, empty, {})
        held = self._held
        if self._opening and not final and _stamps_seen(held.time) < LEAST_STAMPS:
            return _part(held, held.time, slice(0, 0)), held
        stamps, spikes = self._without_spikes(held.time)
        self._coarse = find_coarse(stamps, _repeated(held)) or self._coarse
        last_run = int(np.flatnonzero(stamps != stamps[-1])[-1]) + 1 if (stamps != stamps[-1]).any() else 0
        count = len(stamps) if final or len(stamps) - last_run > MOST_HELD else last_run
        times = stamps if self._coarse is None else spread_coarse(stamps, self._coarse, opening=self._opening)
        if self._coarse is not None:
            self._note("coarse_clock", int((times[:count] != stamps[:count]).sum()))
        self._note("spike", spikes)
        self._opening = self._opening and count == 0
        self._before = stamps[count - 1 : count] if count else self._before
        self._held = _part(held, stamps, slice(count, None))
        return _part(held, times, slice(0, count)), _part(held, times, slice(count, None))

    def _without_spikes(self, times: Micros) -> tuple[Micros, int]:
        """Return stamps with single wrong ones repaired; the last settled one is the first's neighbour."""
        stamps, count = repair_spikes(np.concatenate((self._before, times)))
        return stamps[len(self._before) :], count

    def _note(self, kind: str, count: int) -> None:
        if count:
            self.repairs[kind] = self.repairs.get(kind, 0) + count

    def _fix_table(self, block: Parsed) -> Table | None:
        """Return the fixes of one sentence type and talker, chosen at the first block that has any."""
        chosen = self.fix_source[-3:]
        if chosen in block.tables and (block.tables[chosen].talker == self._talker).any():
            table = block.tables[chosen]
        else:
            kind = next(
                (kind for kind in FIX_KINDS if kind in block.tables and len(block.tables[kind].line)), None
            )
            if kind is None or (chosen and len(block.tables[kind].line) < LEAST_TO_CHANGE):
                return None
            table = block.tables[kind]
            codes, counts = np.unique(table.talker, return_counts=True)
            self._talker = int(codes[counts.argmax()])
            self.fix_source = bytes(divmod(self._talker, 256)).decode("latin-1") + kind
        timed = ~np.isnan(table.values["clock"]) & (table.talker == self._talker)
        return Table(
            table.line[timed], table.talker[timed], {name: one[timed] for name, one in table.values.items()}
        )

    def _date_anchors(self, block: Parsed) -> tuple[Floats, Floats, Floats] | None:
        """Return line, time of day and day of every dated sentence; note the first type that gave one."""
        found: list[tuple[Floats, Floats, Floats]] = []
        if self._anchor is not None:
            found.append(
                (
                    np.array([self._anchor[0]], dtype=float),
                    np.array([self._anchor[1]]),
                    np.array([self._anchor[2]]),
                )
            )
        for kind in ("RMC", "ZDA"):
            table = block.tables.get(kind)
            if table is None:
                continue
            dated = ~np.isnan(table.values["day"]) & ~np.isnan(table.values["clock"])
            if dated.any():
                self.date_source = self.date_source or kind
                found.append(
                    (
                        table.line[dated].astype(float),
                        table.values["clock"][dated],
                        table.values["day"][dated],
                    )
                )
        if not found:
            return None
        line, clock, day = (np.concatenate(parts) for parts in zip(*found, strict=True))
        order = np.argsort(line, kind="stable")
        return line[order], clock[order], day[order]

    def _stamped(self, table: Table, anchors: tuple[Floats, Floats, Floats] | None) -> Fixes:
        clock = table.values["clock"]
        day = self._given_days(clock) if self.date_source in ("", "given") else _days_from(anchors, table)
        day = np.where(np.isnan(table.values.get("day", day)), day, table.values.get("day", day))
        whole = np.rint((day + self.shift_days) * SECONDS_PER_DAY).astype(np.int64) * MICROSECONDS_PER_SECOND
        stamp = whole + np.rint(clock * MICROSECONDS_PER_SECOND).astype(np.int64)
        missing = np.full(len(stamp), np.nan)
        values = {name: table.values.get(name, missing) for name in ("lat", "lon", "sog", "cog")}
        return Fixes(table.line, stamp, values)

    def _given_days(self, clock: Floats) -> Floats:
        """Return the day of each fix of a log without dates, from the day given, over midnights."""
        if self.given_date is None:
            raise InputError(
                "this log has times but no date in it",
                next_step="give the day of its first line with --date YYYY-MM-DD (UTC)",
            )
        self.date_source = "given"
        if not len(clock):
            return clock
        before = self._anchor or (
            0,
            float(clock[0]),
            float(self.given_date.toordinal() - date(1970, 1, 1).toordinal()),
        )
        days = unwrap_days(np.concatenate(([before[1]], clock)), before[2])[1:]
        self._anchor = (0, float(clock[-1]), float(days[-1]))
        return days


def _days_from(anchors: tuple[Floats, Floats, Floats] | None, table: Table) -> Floats:
    """Return the day of each fix from the nearest earlier dated sentence, over a midnight between them."""
    clock = table.values["clock"]
    if anchors is None:
        return np.full(len(clock), np.nan)
    line, anchor_clock, anchor_day = anchors
    nearest = np.maximum(np.searchsorted(line, table.line, side="right") - 1, 0)
    ahead = clock - anchor_clock[nearest]
    days: Floats = (
        anchor_day[nearest] + (ahead < -HALF_DAY_S).astype(float) - (ahead > HALF_DAY_S).astype(float)
    )
    return days


def _repeated(fixes: Fixes) -> Mask:
    """Return whether each fix has the same stamp and position as the one before."""
    same: Mask = np.diff(fixes.time, prepend=fixes.time[:1] - 1) == 0
    for name in ("lat", "lon"):
        same &= np.diff(fixes.values[name], prepend=np.nan) == 0.0
    return same


def _stamps_seen(times: Micros) -> int:
    return int((np.diff(times) != 0).sum()) + 1 if len(times) <= MOST_HELD else LEAST_STAMPS


def _part(fixes: Fixes, times: Micros, which: slice) -> Fixes:
    return Fixes(fixes.line[which], times[which], {name: one[which] for name, one in fixes.values.items()})


def _append(first: Fixes, second: Fixes) -> Fixes:
    return Fixes(
        np.concatenate((first.line, second.line)),
        np.concatenate((first.time, second.time)),
        {name: np.concatenate((first.values[name], second.values[name])) for name in first.values},
    )
