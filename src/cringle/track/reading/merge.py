"""Merge a heel record (a phone fixed below, a logger) into a log by time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import polars as pl

from cringle.errors import InputError
from cringle.track.reading.assemble import Key, number_series, time_series
from cringle.track.reading.chunks import Progress, Source, no_progress
from cringle.track.reading.clock import MICROSECONDS_PER_SECOND, to_datetime
from cringle.track.reading.csv_read import CsvPass, readings_of
from cringle.track.reading.join import Reading, coalesce, concatenate, join_column
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import TrackLog
from cringle.track.schema import side_schema

ATTITUDE: Final[Key] = ("attitude", "CSV")
HEEL_COLUMNS: Final = ("roll", "pitch")


def merge_heel(
    log: TrackLog,
    heel_csv: Path,
    *,
    options: ReadOptions | None = None,
    offset_s: float = 0.0,
    progress: Progress = no_progress,
) -> TrackLog:
    """Return the log with roll (and pitch) of a CSV joined to its fixes.

    Parameters
    ----------
    log : TrackLog
        A log with positions.
    heel_csv : Path
        A time column and ``roll_deg`` (starboard side down positive), ``heel_to_starboard_deg`` or
        ``heel_to_port_deg``; ``pitch_deg`` if there is one. No positions are needed.
    options : ReadOptions or None
        Zone, start and renamed headers of the CSV.
    offset_s : float
        Added to every time of the CSV, when its clock was wrong. [s]
    progress : callable
        Called with bytes done and bytes in all.

    Returns
    -------
    TrackLog
        Roll and pitch as the CSV gives them where it is not older than 2 s, else as the log gave them; the
        native rate in the side table ``attitude``.

    Raises
    ------
    InputError
        The CSV has no heel, or none of it falls within the log's time.
    """
    reading = _attitude(heel_csv, options or ReadOptions(), offset_s, progress)
    times = log.track["time"].dt.epoch("us").to_numpy()
    joined = {name: join_column(name, times, reading) for name in HEEL_COLUMNS if name in reading.values}
    count = int((~np.isnan(joined["roll"])).sum())
    if not count:
        first, last = (to_datetime(int(reading.time[place])) for place in (0, -1))
        raise InputError(
            f"{heel_csv}: its times do not meet the log's; found {first:%Y-%m-%d %H:%M:%S} to "
            f"{last:%Y-%m-%d %H:%M:%S}, the log runs from {log.report.start} to {log.report.end}",
            next_step="check the zone of the heel record, or give its error with --heel-offset SECONDS",
        )
    track = log.track.with_columns(
        number_series(name, coalesce([values, log.track[name].to_numpy().astype(np.float64)]))
        for name, values in joined.items()
    )
    note = f"heel from {heel_csv.name} joined to {count} of {track.height} fixes"
    side = {**log.side, "attitude": _with_attitude(log, reading)}
    return TrackLog(track, side, replace(log.report, notes=(*log.report.notes, note)))


def _attitude(path: Path, options: ReadOptions, offset_s: float, progress: Progress) -> Reading:
    """Return all roll and pitch of a CSV in time order."""
    found: Reading | None = None
    for rows in CsvPass(Source(path, progress), options).rows():
        reading = readings_of(rows).get(ATTITUDE)
        if reading is None or "roll" not in reading.values:
            raise InputError(
                f"{path}:1: the heel record has no column of heel",
                next_step="name it roll_deg, heel_to_starboard_deg or heel_to_port_deg",
            )
        found = reading if found is None else concatenate(found, reading)
    if found is None or not len(found.time):
        raise InputError(
            f"{path}: the heel record has no row that can be read", next_step="check its times and numbers"
        )
    shift = round(offset_s * MICROSECONDS_PER_SECOND)
    moved = Reading(found.line, found.time + shift, found.values)
    return moved.take(np.argsort(moved.time, kind="stable"))


def _with_attitude(log: TrackLog, reading: Reading) -> pl.DataFrame:
    missing = np.full(len(reading.time), np.nan)
    columns = [number_series(name, reading.values.get(name, missing)) for name in HEEL_COLUMNS]
    added = pl.DataFrame([time_series("time", reading.time), *columns]).with_columns(
        pl.lit("CSV").alias("source")
    )
    frames = [log.side["attitude"], added] if "attitude" in log.side else [added]
    return pl.concat(frames).select(side_schema("attitude").keys()).sort("time", maintain_order=True)
