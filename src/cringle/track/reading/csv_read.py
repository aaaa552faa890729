"""CSV with a header line: rows with a position are fixes, the other columns join them as readings."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.errors import InputError, LogError
from cringle.track.reading.assemble import Account, Assembler, Fixes, Key, Piece
from cringle.track.reading.chunks import Source, iter_blocks
from cringle.track.reading.csv_names import ColumnPlan, plan_columns
from cringle.track.reading.join import Reading
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.report import ReadReport, Tally
from cringle.track.reading.stamps import parse_count, parse_plain, parse_zoned
from cringle.track.schema import CHANNELS
from cringle.units import wrap_degrees

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

PREFERENCE: Final[dict[str, tuple[str, ...]]] = dict.fromkeys(CHANNELS, ("CSV",))
SEPARATORS: Final = (",", ";", "\t")
NOT_MEASURED: Final = "nan"
OF_A_FIX: Final = ("lat", "lon", "sog", "cog")
"""What a logger writes for a reading it has not, in small letters; what makes a fix is a number or empty."""

_DECIMAL_COMMA: Final = re.compile(rb"(?:^|[;\t])\s*-?\d+,\d+\s*(?:[;\t\r\n]|$)")


@dataclass(frozen=True)
class Layout:
    """How a CSV is written: its separator, its columns, and whether numbers carry a decimal comma."""

    separator: str
    headers: list[str]
    plan: ColumnPlan
    decimal_comma: bool
    header_line: int


@dataclass(frozen=True)
class Rows:
    """Some rows of a CSV as numbers.

    Parameters
    ----------
    line : array of int64
        Data row of each, counted from 0.
    time : array of int64
        Time of each. [us]
    values : dict of arrays
        Track column (and ``variation``) to numbers, NaN where empty.
    """

    line: NDArray[np.int64]
    time: NDArray[np.int64]
    values: dict[str, Floats]

    def take(self, which: slice | Mask) -> Rows:
        """Return some of the rows."""
        return Rows(
            self.line[which], self.time[which], {name: one[which] for name, one in self.values.items()}
        )


@dataclass
class CsvPass:
    """Reads one CSV file from start to end.

    Parameters
    ----------
    source : Source
        The file.
    options : ReadOptions
        Zone, start, renamed headers.
    """

    source: Source
    options: ReadOptions
    tally: Tally = field(default_factory=Tally)
    assembler: Assembler = field(init=False)
    layout: Layout | None = None

    def __post_init__(self) -> None:
        self.assembler = Assembler(PREFERENCE, self.options.wind_height_m)

    @property
    def account(self) -> Account:
        """What the assembler counted."""
        return self.assembler.account

    def pieces(self) -> Iterator[Piece]:
        """Yield the pieces of the track; the rows from the last fix of a block on wait for the next one."""
        held: Rows | None = None
        for rows in self.rows():
            if "lat" not in rows.values or "lon" not in rows.values:
                raise LogError(
                    "the CSV has no latitude and longitude",
                    path=self.source.path,
                    line=1,
                    next_step="add lat_deg and lon_deg, or merge it by time into a log that has positions",
                )
            joined = rows if held is None else _append(held, rows)
            fixed = np.flatnonzero(_known(joined, ("lat", "lon")))
            cut = int(fixed[-1]) if len(fixed) else len(joined.line)
            yield self._piece(joined.take(slice(0, cut)))
            held = joined.take(slice(cut, None))
        if held is not None:
            yield self._piece(held)

    def rows(self) -> Iterator[Rows]:
        """Yield the rows of each block as numbers, bad ones counted and left out."""
        for block in iter_blocks(self.source, self.options.block_bytes):
            body = block if self.layout is not None else self._begin(block)
            if body.strip():
                yield self._numbers(self._frame(body))

    def report(self) -> ReadReport:
        """Return the account of the rows read; what concerns the track is added by the caller."""
        ignored = self.layout.plan.ignored if self.layout else ()
        return ReadReport(
            format="csv",
            sha256=self.source.sha256,
            bytes_read=self.source.bytes_read,
            lines_read=self.tally.lines_read,
            lines_good=self.tally.lines_good,
            lines_skipped=self.tally.ordered_skips(),
            first_bad=self.tally.first_bad(),
            date_source="given"
            if self.layout and self.layout.plan.time_kind.startswith("elapsed")
            else "CSV",
            fix_source="CSV",
            notes=(f"columns not known and left out: {', '.join(ignored)}",) if ignored else (),
        )

    def _begin(self, block: bytes) -> bytes:
        """Read the header line; return what follows it."""
        lines = block.split(b"\n")
        skipped = 0
        while skipped < len(lines) - 1 and (not lines[skipped].strip() or lines[skipped].startswith(b"#")):
            skipped += 1
        header = lines[skipped].decode("utf-8", errors="replace")
        separator = max(SEPARATORS, key=header.count)
        headers = [one.strip().strip('"') for one in header.split(separator)]
        plan = plan_columns(headers, self.options.columns, self.source.path)
        body = b"\n".join(lines[skipped + 1 :])
        comma = separator != "," and _DECIMAL_COMMA.search(body[:65_536]) is not None
        self.layout = Layout(separator, headers, plan, comma, skipped + 1)
        return body

    def _frame(self, body: bytes) -> pl.DataFrame:
        layout = self._laid_out()
        names = [str(place) for place in range(len(layout.headers))]
        try:
            return pl.read_csv(
                layout.separator.join(names).encode() + b"\n" + body,
                separator=layout.separator,
                schema=dict.fromkeys(names, pl.String),
                quote_char='"' if b'"' in body else None,
                comment_prefix="#",
                truncate_ragged_lines=True,
                encoding="utf8-lossy",
            )
        except pl.exceptions.PolarsError as error:
            raise LogError(
                f"the CSV cannot be read: {str(error).splitlines()[0]}",
                path=self.source.path,
                next_step="look for a stray quotation mark or a line of another kind",
            ) from None

    def _laid_out(self) -> Layout:
        if self.layout is None:
            raise LogError(
                "the CSV has no header line",
                path=self.source.path,
                next_step="write one, for example time_utc,lat_deg,lon_deg",
            )
        return self.layout

    def _numbers(self, frame: pl.DataFrame) -> Rows:
        layout = self._laid_out()
        times = self._times(frame[str(layout.plan.time_index)])
        bad = times.is_null().to_numpy()
        values = {}
        for place, (quantity, convert) in layout.plan.numbers.items():
            text = frame[str(place)].str.strip_chars()
            text = text.str.replace(",", ".", literal=True) if layout.decimal_comma else text
            number = text.cast(pl.Float64, strict=False).to_numpy().astype(np.float64)
            number[~np.isfinite(number)] = np.nan
            unmeasured = ("",) if quantity.column in OF_A_FIX else ("", NOT_MEASURED)
            given = (~text.str.to_lowercase().is_in(unmeasured)).fill_null(value=False).to_numpy()
            value = convert(number)
            with np.errstate(invalid="ignore"):
                bad |= given & ~((value >= quantity.low) & (value <= quantity.high))
            values[quantity.column] = value
        line = np.arange(self.tally.lines_read, self.tally.lines_read + frame.height, dtype=np.int64)
        self._count(frame, bad)
        stamp = times.dt.epoch("us").fill_null(0).to_numpy().astype(np.int64)
        return Rows(line, stamp, values).take(~bad)

    def _times(self, texts: pl.Series) -> pl.Series:
        kind = self._laid_out().plan.time_kind
        if kind == "zoned":
            return self._zoned(texts)
        if kind == "zoned or UTC":
            return parse_plain(texts, "UTC")
        if kind == "local":
            return parse_plain(texts, self._zone())
        numbers = texts.str.strip_chars().str.replace(",", ".", literal=True).cast(pl.Float64, strict=False)
        per_second = 1000.0 if kind.endswith("_ms") else 1.0
        return parse_count(numbers, per_second, self._start_us() if kind.startswith("elapsed") else 0)

    def _zoned(self, texts: pl.Series) -> pl.Series:
        times = parse_zoned(texts)
        if times.null_count() == len(texts) and parse_plain(texts, "UTC").null_count() < len(texts):
            raise InputError(
                f"{self.source.path}:1: the time column has no zone in its name or its values, "
                f"found {texts.drop_nulls()[0]!r}",
                next_step="name it time_utc, or time_local and say where with --csv-zone Area/Place",
            )
        return times

    def _zone(self) -> str:
        name = self.options.time_zone
        try:
            return ZoneInfo(name or "").key
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise InputError(
                f"time_local needs the zone it is in; found {name!r}",
                next_step="give an IANA name, for example --csv-zone Europe/Berlin",
            ) from None

    def _start_us(self) -> int:
        start = self.options.start
        if start is None or start.tzinfo is None:
            raise InputError(
                "the CSV counts from its start, and when that was is not known",
                next_step="write its times as time_utc or epoch_s, or say when it started with --start-time",
            )
        return int(start.timestamp() * 1e6)

    def _count(self, frame: pl.DataFrame, bad: Mask) -> None:
        for row in np.flatnonzero(bad):
            if not self.tally.wants_example("bad_field"):
                break
            line = self.tally.lines_read + int(row) + 1 + self._laid_out().header_line
            text = self._laid_out().separator.join(one or "" for one in frame.row(int(row)))
            self.tally.example(line, "bad_field", text[:80])
        self.tally.lines_read += frame.height
        self.tally.skip("bad_field", int(bad.sum()))
        self.tally.lines_good += int((~bad).sum())

    def _piece(self, rows: Rows) -> Piece:
        shift = np.int64(self.options.shift_weeks * 7 * 86_400_000_000)
        rows = Rows(rows.line, rows.time + shift, rows.values)
        fixed = rows.take(_known(rows, ("lat", "lon")))
        names = ("lat", "lon", "sog", "cog")
        fixes = Fixes(
            fixed.line, fixed.time, {name: fixed.values[name] for name in names if name in fixed.values}
        )
        return self.assembler.piece(fixes, readings_of(rows))


def readings_of(rows: Rows) -> dict[Key, Reading]:
    """Return the readings of every channel; magnetic headings are made true by the row's variation."""
    values = dict(rows.values)
    if "hdg_mag" in values and "variation" in values and "hdg" not in values:
        values["hdg"] = wrap_degrees(values["hdg_mag"] + values["variation"])
    readings: dict[Key, Reading] = {}
    for channel, names in CHANNELS.items():
        given = {name: values[name] for name in names if name in values}
        if given and not (channel == "wind_direction" and "twd" not in given):
            known = ~np.all([np.isnan(one) for one in given.values()], axis=0)
            readings[channel, "CSV"] = Reading(rows.line, rows.time, given).take(known)
    return readings


def _known(rows: Rows, names: tuple[str, ...]) -> Mask:
    known: Mask = ~np.any([np.isnan(rows.values[name]) for name in names], axis=0)
    return known


def _append(first: Rows, second: Rows) -> Rows:
    def both(name: str) -> Any:
        return np.concatenate((first.values[name], second.values[name]))

    return Rows(
        np.concatenate((first.line, second.line)),
        np.concatenate((first.time, second.time)),
        {name: both(name) for name in first.values},
    )
