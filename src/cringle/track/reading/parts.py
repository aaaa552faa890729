"""Write a log of any size as Parquet parts, and read parts back. Memory does not grow with the log."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp
from typing import Any, Final

import polars as pl

from cringle.errors import BookError
from cringle.track.reading.assemble import Piece
from cringle.track.reading.chunks import Progress, no_progress
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import Reader, TrackLog, in_order, no_fix_error
from cringle.track.reading.report import ReadReport, report_from_dict, report_to_dict
from cringle.track.schema import CHANNELS, empty_track, side_schema

PARTIAL: Final = ".partial-"
"""Beginning of the name of a directory that is still being written; a reader never looks into one."""

REPORT: Final = "report.json"


def read_log_to_parts(
    path: Path, out_dir: Path, *, options: ReadOptions | None = None, progress: Progress = no_progress
) -> ReadReport:
    """Read a log into Parquet parts; each comes from at most 16 MB of the log.

    Parameters
    ----------
    path : Path
        The log.
    out_dir : Path
        Directory to make. It appears whole or not at all; one that is there is replaced.
    options : ReadOptions or None
        What the log does not say itself.
    progress : callable
        Called with bytes done and bytes in all.

    Returns
    -------
    ReadReport
        The same as is kept in ``report.json`` beside the parts.

    Raises
    ------
    LogError, InputError
        As `cringle.track.reading.read.read_log`; nothing is left behind.
    BookError
        The parts cannot be written.
    """
    with new_directory(out_dir) as target:
        return write_parts(path, target, options or ReadOptions(), progress)


def write_parts(path: Path, target: Path, options: ReadOptions, progress: Progress) -> ReadReport:
    """Write the parts and the report of a log into a directory that is being made."""
    reader = Reader(path, options, progress)
    for number, piece in enumerate(reader.pieces()):
        _write_piece(piece, number, target)
    if reader.report is None or not reader.report.rows:
        raise no_fix_error(path, reader.report)
    kept = {"report": report_to_dict(reader.report), "options": options_to_dict(options)}
    write_synced(target / REPORT, json.dumps(kept, indent=1).encode())
    return reader.report


def read_parts(directory: Path) -> TrackLog:
    """Return the track, side tables and report kept in a directory of parts.

    Raises
    ------
    BookError
        The parts are missing or damaged.
    """
    try:
        report = read_report(directory)
        track = pl.concat([empty_track(), *_frames(directory, "track")])
        side = {}
        for channel in CHANNELS:
            frames = _frames(directory, f"side-{channel}")
            if frames:
                whole = pl.concat([pl.DataFrame(schema=side_schema(channel)), *frames])
                side[channel] = whole.sort("time", maintain_order=True)
    except (OSError, ValueError, KeyError, TypeError, pl.exceptions.PolarsError) as error:
        raise BookError(
            f"{directory}: the stored track is damaged: {error}",
            next_step="read the log again; its original is kept beside the track",
        ) from error
    track, report = in_order(track, report)
    return TrackLog(track, side, report)


def parts_are_whole(directory: Path) -> bool:
    """Return whether the parts of a log are all there and none is cut short; only their ends are read."""
    try:
        rows = read_report(directory).rows
        tables = sorted(directory.glob("*.parquet"))
        counted = {one: int(pl.scan_parquet(one).select(pl.len()).collect().item()) for one in tables}
    except (OSError, ValueError, KeyError, TypeError, pl.exceptions.PolarsError):
        return False
    return sum(count for one, count in counted.items() if one.name.startswith("track-")) == rows


def read_report(directory: Path) -> ReadReport:
    """Return the report kept beside parts."""
    return report_from_dict(_kept(directory)["report"])


def kept_options(directory: Path) -> dict[str, Any]:
    """Return the options with which the parts were made."""
    options: dict[str, Any] = _kept(directory)["options"]
    return options


def options_to_dict(options: ReadOptions) -> dict[str, Any]:
    """Return the options that change a track, as plain values."""
    return {
        "date": None if options.date is None else options.date.isoformat(),
        "start": None if options.start is None else options.start.isoformat(),
        "time_zone": options.time_zone,
        "columns": dict(options.columns),
        "shift_weeks": options.shift_weeks,
        "accept_no_checksum": options.accept_no_checksum,
        "wind_height_m": options.wind_height_m,
    }


def _kept(directory: Path) -> dict[str, Any]:
    kept: dict[str, Any] = json.loads((directory / REPORT).read_text(encoding="utf-8"))
    return kept


def _frames(directory: Path, stem: str) -> list[pl.DataFrame]:
    return [pl.read_parquet(part) for part in sorted(directory.glob(f"{stem}-*.parquet"))]


def _write_piece(piece: Piece, number: int, target: Path) -> None:
    tables = {"track": piece.track, **{f"side-{channel}": frame for channel, frame in piece.side.items()}}
    for stem, frame in tables.items():
        if frame.height:
            name = target / f"{stem}-{number:06d}.parquet"
            frame.write_parquet(name)
            _sync(name)


@contextmanager
def new_directory(out_dir: Path) -> Iterator[Path]:
    """Make a directory that appears whole or not at all.

    Parameters
    ----------
    out_dir : Path
        Its name; one that is there is replaced when the new one is complete.

    Yields
    ------
    Path
        Where to write.

    Raises
    ------
    BookError
        It cannot be written: read-only, disk full.
    """
    try:
        out_dir.parent.mkdir(parents=True, exist_ok=True)
        target = Path(mkdtemp(prefix=PARTIAL, dir=out_dir.parent))
    except OSError as error:
        raise _not_written(out_dir, error) from error
    try:
        yield target
        _swap(target, out_dir)
    except OSError as error:
        raise _not_written(out_dir, error) from error
    finally:
        shutil.rmtree(target, ignore_errors=True)


def _swap(target: Path, out_dir: Path) -> None:
    """Put a finished directory in place; the old one, if any, steps aside first."""
    target.chmod(0o755)
    _sync(target)
    old = None
    if out_dir.exists():
        old = Path(mkdtemp(prefix=PARTIAL, dir=out_dir.parent))
        out_dir.replace(old / "old")
    target.replace(out_dir)
    _sync(out_dir.parent)
    if old is not None:
        shutil.rmtree(old, ignore_errors=True)


def write_synced(path: Path, data: bytes) -> None:
    """Write a file and have it on the disk."""
    with path.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _not_written(path: Path, error: OSError) -> BookError:
    return BookError(
        f"{path}: cannot be written: {error.strerror or error}",
        next_step="check that the disk has room and that the book may be written, then do it again",
    )
