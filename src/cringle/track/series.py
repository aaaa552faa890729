"""A log on an even one-second clock: what the debrief works on, however fast or slow its instruments were."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import datetime, timedelta
from typing import Final

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.circle import unwind_deg
from cringle.track.schema import CHANNELS, DIRECTIONS, JOIN_WINDOW_S, SIGNED_ANGLES
from cringle.units import degrees_to_radians, radians_to_degrees, wrap_degrees, wrap_signed_degrees

Array = NDArray[np.float64]

LONGEST_SPAN_S: Final = 7 * 86_400
"""A log longer than this is not one outing [s]; most likely its clock jumps (our own limit)."""

SLOWEST_HOLD_S: Final = 15.0
"""However slow an instrument, its reading is not held longer than this [s] (our own limit)."""

CIRCULAR: Final = DIRECTIONS | SIGNED_ANGLES | {"lon"}


@dataclass(frozen=True)
class Series:
    """One row a second from the first fix to the last; NaN where nothing was measured.

    Parameters
    ----------
    start : datetime
        UTC of row 0, a whole second.
    lat, lon : array, shape (n,)
        Position [deg]; filled in on a straight line between fixes up to a few intervals apart.
    sog, stw, aws, tws : array, shape (n,)
        Speeds [kn].
    cog, hdg, hdg_mag, twd : array, shape (n,)
        Directions in [0, 360) [deg].
    awa, twa : array, shape (n,)
        Angles in (-180, 180], starboard positive [deg].
    roll : array, shape (n,)
        Starboard side down positive [deg].
    fix_interval_s : float
        Median time between fixes [s].
    """

    start: datetime
    lat: Array
    lon: Array
    sog: Array
    stw: Array
    aws: Array
    tws: Array
    cog: Array
    hdg: Array
    hdg_mag: Array
    twd: Array
    awa: Array
    twa: Array
    roll: Array
    fix_interval_s: float = 1.0

    @property
    def rows(self) -> int:
        """Number of seconds."""
        return int(self.lat.size)

    def at(self, second: float) -> datetime:
        """Return the UTC of a row."""
        return self.start + timedelta(seconds=float(second))

    def has(self, name: str) -> bool:
        """Return whether a column holds any reading."""
        return bool(np.isfinite(getattr(self, name)).any())


COLUMNS: Final = tuple(one.name for one in fields(Series) if one.name not in {"start", "fix_interval_s"})


def series_of(track: pl.DataFrame, side: Mapping[str, pl.DataFrame] | None = None) -> Series:
    """Return a log on the even clock.

    Parameters
    ----------
    track : DataFrame
        One row per fix, sorted by time.
    side : mapping of str to DataFrame, optional
        Channels at their native rate; they are preferred to the track's columns, which keep only what was
        nearest to a fix.

    Raises
    ------
    InputError
        The track has no rows, or spans more than a week.
    """
    if track.height == 0:
        raise InputError("the log has no fix with a time", next_step="check that the GPS was on")
    seconds = _seconds(track["time"])
    start, end = np.floor(seconds[0]), np.floor(seconds[-1])
    if end - start > LONGEST_SPAN_S:
        raise InputError(
            f"the log spans {(end - start) / 86_400:.0f} days, accepted is up to 7",
            next_step="check the clock of the instrument, or split the file",
        )
    grid = _Grid(float(start), int(end - start) + 1)
    columns = {name: _column(name, track, side or {}, grid) for name in COLUMNS}
    first = datetime.fromtimestamp(float(start), tz=track["time"][0].tzinfo)
    interval = float(np.median(np.diff(seconds))) if seconds.size > 1 else 1.0
    return Series(start=first, fix_interval_s=interval, **columns)


@dataclass(frozen=True)
class _Grid:
    """The even clock: its first second (Unix time) and its number of seconds."""

    start: float
    rows: int


def _seconds(time: pl.Series) -> Array:
    return time.dt.epoch("us").to_numpy().astype(np.float64) / 1e6


def _column(name: str, track: pl.DataFrame, side: Mapping[str, pl.DataFrame], grid: _Grid) -> Array:
    """Return one column on the even clock, from the first table that has a reading."""
    channels = [channel for channel, carried in CHANNELS.items() if name in carried]
    tables = [side[channel] for channel in channels if channel in side]
    for table in (*tables, track):
        if name in table.columns:
            kept = table.select("time", name).drop_nulls()
            if kept.height:
                return _on_grid(name, _seconds(kept["time"]), kept[name].to_numpy().astype(float), grid)
    return np.full(grid.rows, np.nan)


def _on_grid(name: str, seconds: Array, values: Array, grid: _Grid) -> Array:
    """Average what falls into one second, then hold or bridge what is missing."""
    row = np.floor(seconds - grid.start).astype(np.int64)
    inside = (row >= 0) & (row < grid.rows) & np.isfinite(values)
    if not inside.any():
        return np.full(grid.rows, np.nan)
    row, values = row[inside], values[inside]
    binned = _bin_circular(row, values, grid.rows) if name in CIRCULAR else _bin(row, values, grid.rows)
    seconds_read = np.unique(row)
    between = float(np.median(np.diff(seconds_read))) if seconds_read.size > 1 else 1.0
    reach = min(max(JOIN_WINDOW_S, 1.5 * between), SLOWEST_HOLD_S)
    if name in {"lat", "lon"}:
        return _bridge(binned, 2.0 * reach, circular=name == "lon")
    return _named_range(name, _hold(binned, int(reach)))


def _bin(row: NDArray[np.int64], values: Array, rows: int) -> Array:
    count = np.bincount(row, minlength=rows)
    total = np.bincount(row, weights=values, minlength=rows)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _bin_circular(row: NDArray[np.int64], values: Array, rows: int) -> Array:
    """Average angles as unit vectors; a second with one reading keeps it to the last digit."""
    count = np.bincount(row, minlength=rows)
    radians = degrees_to_radians(values)
    east = np.bincount(row, weights=np.sin(radians), minlength=rows)
    north = np.bincount(row, weights=np.cos(radians), minlength=rows)
    several = radians_to_degrees(np.arctan2(east, north))
    single = _bin(row, values, rows)
    return np.where(count == 1, single, np.where(count > 1, several, np.nan))


def _named_range(name: str, values: Array) -> Array:
    if name in DIRECTIONS:
        return wrap_degrees(values)
    return wrap_signed_degrees(values) if name in SIGNED_ANGLES else values


def _hold(values: Array, reach: int) -> Array:
    """Carry the last reading on for at most `reach` seconds."""
    rows = np.arange(values.size)
    last = np.maximum.accumulate(np.where(np.isfinite(values), rows, -1))
    fresh = (last >= 0) & (rows - last <= reach)
    return np.where(fresh, values[np.maximum(last, 0)], np.nan)


def _bridge(values: Array, reach: float, *, circular: bool) -> Array:
    """Fill gaps of at most `reach` seconds on a straight line."""
    known = np.flatnonzero(np.isfinite(values))
    rows = np.arange(values.size)
    smooth = unwind_deg(values) if circular else values
    filled = np.interp(rows, known, smooth[known])
    after = np.searchsorted(known, rows, side="left").clip(0, known.size - 1)
    before = np.searchsorted(known, rows, side="right").clip(1) - 1
    near = (known[after] - known[before] <= reach) & (rows >= known[0]) & (rows <= known[-1])
    out = np.where(near, filled, np.nan)
    return wrap_signed_degrees(out) if circular else out
