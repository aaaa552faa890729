"""Build the tidy track and its side tables piece by piece, holding only what the next piece needs."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

import numpy as np
import polars as pl

from cringle.constants import REFERENCE_WIND_HEIGHT_M
from cringle.physics.wind import wind_speed_at_height
from cringle.track.distance import elsewhere_at_once
from cringle.track.reading.clock import MICROSECONDS_PER_SECOND, Micros, to_datetime
from cringle.track.reading.join import WINDOW_US, Reading, coalesce, concatenate, join_column
from cringle.track.reading.nmea_fields import Floats
from cringle.track.reading.nmea_frame import Index
from cringle.track.reading.report import GAPS_LISTED, Gap
from cringle.track.schema import CHANNELS, TIME, TRACK_COLUMNS, TRACK_SCHEMA

Key = tuple[str, str]
"""Channel and source: ``("heading", "HDG")``."""

SHORTEST_GAP_S: Final = 5.0
GAP_STEPS: Final = 5.0
"""A pause between fixes is a gap when longer than `SHORTEST_GAP_S` [s] and than five usual steps."""

ELSEWHERE_M: Final = 10.0
"""Two fixes of one time further apart than this are not one boat's [m] (our own limit)."""


@dataclass(frozen=True)
class Fixes:
    """Position fixes with their times, in the order of the log.

    Parameters
    ----------
    line : array of int64
        Line (or row, or point) of each fix.
    time : array of int64
        When. [us]
    values : dict of arrays
        ``lat``, ``lon`` [deg], and ``sog`` [kn], ``cog`` [deg] where the fix itself carries them.
    """

    line: Index
    time: Micros
    values: dict[str, Floats]


@dataclass(frozen=True)
class Piece:
    """Some minutes of a log: rows of the track and of each side table."""

    track: pl.DataFrame
    side: dict[str, pl.DataFrame]


@dataclass
class Account:
    """Running totals of the rows made so far."""

    rows: int = 0
    duplicates: int = 0
    elsewhere: int = 0
    backward: int = 0
    gap_count: int = 0
    gaps: list[Gap] = field(default_factory=list)
    start: datetime | None = None
    end: datetime | None = None
    last: int | None = None
    last_logged: int | None = None
    usual_step_us: float = 0.0
    readings: dict[str, int] = field(default_factory=dict)

    def add(self, times: Micros) -> None:
        """Count sorted row times, and the gaps between them and since the piece before."""
        if not len(times):
            return
        joined = times if self.last is None else np.concatenate(([self.last], times))
        steps = np.diff(joined)
        if not self.usual_step_us and len(steps):
            self.usual_step_us = float(np.median(steps))
        limit = max(SHORTEST_GAP_S * MICROSECONDS_PER_SECOND, GAP_STEPS * self.usual_step_us)
        for place in np.flatnonzero(steps > limit):
            self.gap_count += 1
            if len(self.gaps) < GAPS_LISTED:
                self.gaps.append(
                    Gap(to_datetime(joined[place]), float(steps[place]) / MICROSECONDS_PER_SECOND)
                )
        first, last = to_datetime(times[0]), to_datetime(times[-1])
        self.rows += len(times)
        self.start = first if self.start is None else min(self.start, first)
        self.end = last if self.end is None else max(self.end, last)
        self.last = int(times[-1])


@dataclass
class Assembler:
    """Joins timed readings to timed fixes, one piece after another.

    Parameters
    ----------
    preference : dict
        Channel to its sources, best first.
    wind_height_m : float or None
        Height of the wind sensor; true wind speed is then converted to 10 m by the log law. [m]
    """

    preference: dict[str, tuple[str, ...]]
    wind_height_m: float | None = None
    account: Account = field(default_factory=Account)
    recent: dict[Key, Reading] = field(default_factory=dict)

    def piece(self, fixes: Fixes, readings: dict[Key, Reading]) -> Piece:
        """Return the rows for some fixes, given every reading up to the next fix not yet passed.

        Parameters
        ----------
        fixes : Fixes
            Fixes that follow those of the piece before.
        readings : dict of Reading
            Readings not handed over before.
        """
        ready = {
            key: _in_time_order(self._scaled(reading))
            for key, reading in readings.items()
            if len(reading.line)
        }
        for key, reading in ready.items():
            before = self.recent.get(key)
            self.recent[key] = reading if before is None else _in_time_order(concatenate(before, reading))
            self.account.readings[key[0]] = self.account.readings.get(key[0], 0) + len(reading.line)
        track = self._track(self._kept(fixes))
        if len(fixes.time):
            self._forget(int(fixes.time.max()) - WINDOW_US)
        return Piece(track, _side_tables(ready))

    def _kept(self, fixes: Fixes) -> Fixes:
        """Return the fixes sorted by time, the first of each time only."""
        last = self.account.last
        self.account.backward += self._steps_back(fixes.time)
        order = np.argsort(fixes.time, kind="stable")
        times = fixes.time[order]
        fresh = np.diff(times, prepend=times[:1] - 1) != 0
        if last is not None:
            fresh &= times != last
        self.account.duplicates += int(len(times) - fresh.sum())
        lat, lon = (fixes.values[name][order] for name in ("lat", "lon"))
        self.account.elsewhere += elsewhere_at_once(times, lat, lon, least_m=ELSEWHERE_M)
        kept = order[fresh]
        self.account.add(fixes.time[kept])
        return Fixes(
            fixes.line[kept], fixes.time[kept], {name: one[kept] for name, one in fixes.values.items()}
        )

    def _steps_back(self, times: Micros) -> int:
        """Return how often the clock goes back, in the order of the log and since the piece before."""
        before = self.account.last_logged
        if not len(times):
            return 0
        self.account.last_logged = int(times[-1])
        stamps = times if before is None else np.concatenate(([before], times))
        return int((np.diff(stamps) < 0).sum())

    def _track(self, fixes: Fixes) -> pl.DataFrame:
        columns: dict[str, pl.Series] = {"time": time_series("time", fixes.time)}
        for name in list(TRACK_COLUMNS)[1:]:
            candidates = [fixes.values[name]] if name in fixes.values else []
            candidates += [join_column(name, fixes.time, reading) for reading in self._sources(name)]
            values = coalesce(candidates) if candidates else np.full(len(fixes.time), np.nan)
            columns[name] = number_series(name, values)
        return pl.DataFrame(columns, schema=TRACK_SCHEMA)

    def _sources(self, column: str) -> list[Reading]:
        """Return the readings that carry a column, best first."""
        keys = [
            (channel, source)
            for channel, names in CHANNELS.items()
            if column in names
            for source in self.preference[channel]
        ]
        return [self.recent[key] for key in keys if key in self.recent and column in self.recent[key].values]

    def _forget(self, before: int) -> None:
        for key, reading in self.recent.items():
            self.recent[key] = reading.take(reading.time >= before)

    def _scaled(self, reading: Reading) -> Reading:
        """Return readings with the true wind speed at 10 m."""
        height = self.wind_height_m
        if height is None or height == REFERENCE_WIND_HEIGHT_M or "tws" not in reading.values:
            return reading
        speed = reading.values["tws"]
        at_ten = np.asarray(wind_speed_at_height(np.nan_to_num(speed), height), dtype=np.float64)
        return Reading(
            reading.line, reading.time, {**reading.values, "tws": np.where(np.isnan(speed), np.nan, at_ten)}
        )


def _in_time_order(reading: Reading) -> Reading:
    if (np.diff(reading.time) >= 0).all():
        return reading
    return reading.take(np.argsort(reading.time, kind="stable"))


def _side_tables(readings: dict[Key, Reading]) -> dict[str, pl.DataFrame]:
    """Return one table per channel, all its sources together in time order."""
    parts: dict[str, list[pl.DataFrame]] = {}
    for (channel, source), reading in readings.items():
        size = len(reading.time)
        columns = [time_series("time", reading.time)]
        missing = np.full(size, np.nan)
        columns += [number_series(name, reading.values.get(name, missing)) for name in CHANNELS[channel]]
        columns.append(pl.Series("source", [source], dtype=pl.String).new_from_index(0, size))
        parts.setdefault(channel, []).append(pl.DataFrame(columns))
    return {channel: pl.concat(frames).sort("time", maintain_order=True) for channel, frames in parts.items()}


def time_series(name: str, times: Micros) -> pl.Series:
    """Return microseconds since 1970 as a column of UTC times."""
    return pl.Series(name, times, dtype=pl.Int64).cast(TIME)


def number_series(name: str, values: Floats) -> pl.Series:
    """Return numbers as a column, null where NaN."""
    return pl.Series(name, values, dtype=pl.Float64, nan_to_null=True)
