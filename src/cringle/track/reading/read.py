"""Read a log, whatever its format, into one tidy track with an account of every line."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Final, Protocol

import numpy as np
import polars as pl

from cringle.errors import LogError
from cringle.track.distance import elsewhere_at_once
from cringle.track.reading.assemble import ELSEWHERE_M, Account, Piece
from cringle.track.reading.chunks import Progress, Source, no_progress
from cringle.track.reading.clock import SECONDS_PER_DAY, suspect_rollover
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.report import Gap, ReadReport
from cringle.track.reading.sniff import Format, sniff
from cringle.track.schema import CHANNELS, empty_track, side_schema

LONGEST_PAUSE_DAYS: Final = 30
"""A longer pause within one log is taken for a wrong clock, and said."""


@dataclass(frozen=True)
class TrackLog:
    """A log as read.

    Parameters
    ----------
    track : DataFrame
        One row per position fix, sorted by time; schema `cringle.track.schema.TRACK_SCHEMA`.
    side : dict of DataFrame
        Channels at the rate at which they were logged; those without any reading are left out.
    report : ReadReport
        What was read, skipped and repaired.
    """

    track: pl.DataFrame
    side: dict[str, pl.DataFrame]
    report: ReadReport

    def __repr__(self) -> str:
        report = self.report
        return f"TrackLog({report.format}, {self.track.height} rows, {report.start} to {report.end})"


class Pass(Protocol):
    """One pass over a log of one format."""

    @property
    def account(self) -> Account:
        """What was counted of rows."""

    def pieces(self) -> Iterator[Piece]:
        """Yield the pieces of the track."""

    def report(self) -> ReadReport:
        """Return the account of lines."""


def _nmea(source: Source, options: ReadOptions) -> Pass:
    from cringle.track.reading.read_nmea import NmeaPass

    return NmeaPass(source, options)


def _gpx(source: Source, options: ReadOptions) -> Pass:
    from cringle.track.reading.gpx import GpxPass

    return GpxPass(source, options)


def _csv(source: Source, options: ReadOptions) -> Pass:
    from cringle.track.reading.csv_read import CsvPass

    return CsvPass(source, options)


PASSES: Final[dict[Format, Callable[[Source, ReadOptions], Pass]]] = {"nmea": _nmea, "gpx": _gpx, "csv": _csv}
"""Format to its reader; each is imported when needed."""


@dataclass
class Reader:
    """One pass over one log: pieces first, then the report.

    Parameters
    ----------
    path : Path
        The log.
    options : ReadOptions
        What the log does not say itself.
    progress : callable
        Called with bytes done and bytes in all.
    """

    path: Path
    options: ReadOptions
    progress: Progress = no_progress
    report: ReadReport | None = None

    def pieces(self) -> Iterator[Piece]:
        """Yield the pieces of the track in the order of the log; `report` is there when they are through."""
        source = Source(self.path, self.progress)
        work = PASSES[sniff(self.path)](source, self.options)
        yield from work.pieces()
        self.report = _finished(work.report(), work.account, self.options)


def read_log(
    path: Path,
    *,
    date: date | None = None,
    options: ReadOptions | None = None,
    progress: Progress = no_progress,
) -> TrackLog:
    """Return the track, the side tables and the account of a log.

    Parameters
    ----------
    path : Path
        NMEA 0183, GPX 1.1 (1.0 and files without a namespace too) or CSV; told apart by content.
    date : date or None
        Day (UTC) of the first line, for a log without a date; the same as `options.date`.
    options : ReadOptions or None
        What the log does not say itself.
    progress : callable
        Called with bytes done and bytes in all.

    Returns
    -------
    TrackLog
        Everything in memory; for logs of any size see `cringle.track.reading.parts.read_log_to_parts`.

    Raises
    ------
    LogError
        The file cannot be read at all, or holds no position with a time.
    InputError
        The log has no date and none was given, or a CSV header is not clear.
    """
    options = options or ReadOptions()
    reader = Reader(path, options if date is None else replace(options, date=date), progress)
    pieces = list(reader.pieces())
    report = reader.report
    if report is None or not report.rows:
        raise no_fix_error(path, report)
    track, report = in_order(pl.concat([empty_track(), *(piece.track for piece in pieces)]), report)
    return TrackLog(track, join_sides(pieces), report)


def in_order(track: pl.DataFrame, report: ReadReport) -> tuple[pl.DataFrame, ReadReport]:
    """Return a track sorted by time with one row per time, and the report with what that dropped."""
    if track["time"].is_sorted():
        return track, report
    whole = track.sort("time", maintain_order=True)
    places = (whole[name].to_numpy().astype(np.float64) for name in ("lat", "lon"))
    elsewhere = elsewhere_at_once(whole["time"].dt.epoch("us").to_numpy(), *places, least_m=ELSEWHERE_M)
    whole = whole.unique("time", keep="first", maintain_order=True)
    dropped = track.height - whole.height
    return whole, replace(
        report,
        rows=whole.height,
        duplicates=report.duplicates + dropped,
        elsewhere=report.elsewhere + elsewhere,
    )


def join_sides(pieces: list[Piece]) -> dict[str, pl.DataFrame]:
    """Return the side tables of all pieces as one table per channel, sorted by time."""
    tables = {}
    for channel in CHANNELS:
        parts = [
            piece.side[channel] for piece in pieces if channel in piece.side and piece.side[channel].height
        ]
        if parts:
            tables[channel] = pl.concat(parts).cast(side_schema(channel)).sort("time", maintain_order=True)  # type: ignore[arg-type]
    return tables


def no_fix_error(path: Path, report: ReadReport | None) -> LogError:
    """Return the error for a log without any position fix; it says what the log does hold."""
    if report is None:
        return LogError("no position fix with a time in it", path=path, next_step=NO_FIX_STEPS["nmea"])
    counts = {**report.sentences, **report.lines_skipped}
    held = ", ".join(f"{count} {name}" for name, count in counts.items()) or "nothing that can be read"
    bad = "".join(f"; line {one.line} is {one.reason}: {one.text}" for one in report.first_bad[:1])
    return LogError(
        f"no position fix with a time in it; it holds {held}{bad}",
        path=path,
        next_step=NO_FIX_STEPS[report.format],
    )


NO_FIX_STEPS: Final = {
    "nmea": "log RMC, GGA or GLL too, or merge it as a side table into a log with positions",
    "gpx": "export the track with a time for every point; waypoints and routes have none",
    "csv": "look at the first bad row: times in ISO 8601, positions in degrees with a decimal point",
}
"""What to do about a log without fixes, by format."""


def _finished(report: ReadReport, account: Account, options: ReadOptions) -> ReadReport:
    """Return the report with what the assembler counted."""
    seconds = (
        0.0 if account.start is None or account.end is None else (account.end - account.start).total_seconds()
    )
    now = options.now or datetime.now(UTC)
    repairs = dict(report.clock_repairs)
    if account.backward:
        repairs["backward"] = account.backward
    return replace(
        report,
        notes=(*report.notes, *_doubts(account, now)),
        rows=account.rows,
        duplicates=account.duplicates,
        elsewhere=account.elsewhere,
        clock_repairs=repairs,
        gaps=tuple(sorted(account.gaps, key=_longest))[:50],
        gap_count=account.gap_count,
        start=account.start,
        end=account.end,
        channels={name: count / seconds if seconds else 0.0 for name, count in account.readings.items()},
        wind_height_m=options.wind_height_m,
        shifted_weeks=None
        if account.start is None or options.shift_weeks
        else suspect_rollover(account.start, now),
    )


def _doubts(account: Account, now: datetime) -> list[str]:
    """Return sentences on dates that look wrong but are not for us to change."""
    doubts = [
        f"the clock jumps by {gap.seconds / SECONDS_PER_DAY:.0f} days at {gap.start}: one side may be wrong"
        for gap in account.gaps
        if gap.seconds > LONGEST_PAUSE_DAYS * SECONDS_PER_DAY
    ]
    if account.end is not None and account.end > now + timedelta(days=1):
        doubts.append(f"the log ends at {account.end}, which lies in the future: its clock may be wrong")
    return doubts


def _longest(gap: Gap) -> float:
    return -gap.seconds
