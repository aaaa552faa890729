"""NMEA 0183: queue the readings of each side table until their times are known."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from cringle.track.reading.assemble import Key
from cringle.track.reading.join import LineClock, Reading, concatenate
from cringle.track.reading.nmea import Parsed, Table
from cringle.track.reading.nmea_fields import Floats
from cringle.track.reading.nmea_frame import Index
from cringle.track.schema import CHANNELS
from cringle.units import wrap_degrees

PREFERENCE: Final[dict[str, tuple[str, ...]]] = {
    "ground": ("RMC", "VTG"),
    "water_speed": ("VHW",),
    "apparent_wind": ("MWV", "VWR"),
    "true_wind": ("MWV", "VWT"),
    "wind_direction": ("MWD",),
    "heading": ("HDT", "HDG", "HDM", "VHW"),
    "attitude": ("XDR",),
    "rate_of_turn": ("ROT",),
    "rudder": ("RSA", "XDR"),
}
"""Which sentence types feed a side table; where two give the same column, the first wins."""

MAGNETIC: Final = {"heading": ("hdg_mag", "hdg"), "wind_direction": ("twd_mag", "twd")}
"""Channels with a magnetic direction, and the true one that the log's variation makes of it."""


@dataclass
class ReadingQueue:
    """Readings of blocks in the order of the log.

    Attributes
    ----------
    medians : list of float
        Median variation of each block that had any, east positive. [deg]
    untimed : int
        Readings dropped because no fix was near enough to time them.
    """

    medians: list[float] = field(default_factory=list)
    untimed: int = 0
    _pending: dict[Key, Reading] = field(default_factory=dict)
    _variation: tuple[Index, Floats] | None = None

    def take(self, block: Parsed) -> None:
        """Queue the readings of a block, magnetic directions made true where the variation is known."""
        self._note_variation(block)
        for channel, sources in PREFERENCE.items():
            for source in sources:
                if source in block.tables:
                    self._queue((channel, source), block.tables[source])

    def release(self, clock: LineClock, before_line: int | None) -> dict[Key, Reading]:
        """Return the queued readings before a line, with their times; all of them when it is None."""
        released = {}
        for key, waiting in self._pending.items():
            count = (
                len(waiting.line) if before_line is None else int(np.searchsorted(waiting.line, before_line))
            )
            if not count:
                continue
            ready = waiting.take(slice(0, count))
            self._pending[key] = waiting.take(slice(count, None))
            times, known = clock.at(ready.line)
            self.untimed += int((~known).sum())
            released[key] = Reading(ready.line, times, ready.values).take(known)
        return released

    def _queue(self, key: Key, table: Table) -> None:
        values = self._channel_values(key[0], table)
        if not values:
            return
        known = ~np.all([np.isnan(one) for one in values.values()], axis=0)
        line = table.line[known]
        reading = Reading(
            line, np.zeros(len(line), dtype=np.int64), {name: one[known] for name, one in values.items()}
        )
        before = self._pending.get(key)
        self._pending[key] = reading if before is None else concatenate(before, reading)

    def _channel_values(self, channel: str, table: Table) -> dict[str, Floats]:
        values = {name: table.values[name] for name in CHANNELS[channel] if name in table.values}
        magnetic, true = MAGNETIC.get(channel, ("", ""))
        if magnetic in table.values:
            corrected = wrap_degrees(table.values[magnetic] + self._variation_at(table.line))
            given = values.get(true, np.full(len(corrected), np.nan))
            values[true] = np.where(np.isnan(given), corrected, given)
        return values

    def _note_variation(self, block: Parsed) -> None:
        """Keep the variations of a block, and the last of the one before, in order of lines."""
        tables = [block.tables[kind] for kind in ("RMC", "HDG") if kind in block.tables]
        given = [~np.isnan(table.values["variation"]) for table in tables]
        lines = [table.line[which] for table, which in zip(tables, given, strict=True)]
        values = [table.values["variation"][which] for table, which in zip(tables, given, strict=True)]
        if not sum(len(line) for line in lines):
            return
        self.medians.append(float(np.median(np.concatenate(values))))
        if self._variation is not None:
            lines.insert(0, self._variation[0][-1:])
            values.insert(0, self._variation[1][-1:])
        line, value = np.concatenate(lines), np.concatenate(values)
        order = np.argsort(line, kind="stable")
        self._variation = (line[order], value[order])

    def _variation_at(self, line: Index) -> Floats:
        """Return the latest variation given before each line, or the first one given after it."""
        if self._variation is None:
            return np.full(len(line), np.nan)
        known, values = self._variation
        return values[np.maximum(np.searchsorted(known, line, side="right") - 1, 0)]
