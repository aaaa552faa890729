"""A debrief after reading: four hours at 10 Hz, and the detector beside the same steps written row by row."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.track.debrief import debrief
from cringle.track.read import TrackLog
from cringle.track.report import ReadReport
from cringle.track.schema import TIME, TRACK_SCHEMA
from cringle.track.sides import side_changes
from cringle.units import wrap_degrees, wrap_signed_degrees

HOURS, HERTZ = 4, 10
BOARD_S = 150
SECONDS_ALLOWED = 3.0

Array = NDArray[np.float64]


def evening() -> TrackLog:
    """Return a long invented log: boards of equal length, a tack at the end of each."""
    clock = np.arange(0.0, HOURS * 3600.0, 1.0 / HERTZ)
    side = np.tanh(8.0 * np.sin(np.pi * clock / BOARD_S))
    rng = np.random.default_rng(1)
    noise = rng.standard_normal((6, clock.size))
    columns = {
        "lat": 54.0 + np.cumsum(np.full(clock.size, 2e-6)),
        "lon": -5.0 + 2e-4 * np.cumsum(side) / HERTZ,
        "sog": 5.0 + 0.1 * noise[0],
        "cog": wrap_degrees(45.0 - 43.0 * side + noise[1]),
        "stw": 5.0 + 0.1 * noise[2],
        "hdg": wrap_degrees(45.0 - 43.0 * side + noise[3]),
        "awa": wrap_signed_degrees(30.0 * side + 2.0 * noise[4]),
        "aws": np.full(clock.size, 15.0),
        "roll": -14.0 * side + noise[5],
    }
    start = datetime(2026, 6, 17, 17, 0, tzinfo=UTC).timestamp()
    stamps = ((clock + start) * 1e6).astype(np.int64)
    time_column = pl.Series("time", stamps).cast(pl.Datetime("us")).dt.replace_time_zone("UTC").cast(TIME)
    track = pl.DataFrame({"time": time_column, **columns})
    missing = [
        pl.lit(None, kind).alias(name) for name, kind in TRACK_SCHEMA.items() if name not in track.columns
    ]
    report = ReadReport("nmea", "0" * 64, 1, 1, 1, {})
    return TrackLog(track.with_columns(missing).select(list(TRACK_SCHEMA)), {}, report)


def sides_row_by_row(angles: list[float]) -> int:
    """Return the number of side changes with the same rules as the detector, one row at a time."""
    side = [0 if abs(a) < 10.0 or abs(a) > 175.0 else (1 if a > 0.0 else -1) for a in angles]
    lead = [sum(side[max(row - 4, 0) : row + 5]) / 9.0 for row in range(len(side))]
    changes, settled, run, quiet = 0, 0, 0, 0
    for value in lead:
        now = 0 if abs(value) <= 0.3 else (1 if value > 0.0 else -1)
        quiet = quiet + 1 if now == 0 else 0
        if now and now * run > 0:
            run += now
        elif now or quiet > 10:
            run = now
        if abs(run) >= 20:
            before, settled = settled, (1 if run > 0 else -1)
            changes += before * settled < 0
    return changes


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """Return the best of a few runs [s]."""
    best = float("inf")
    for _ in range(times):
        begin = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - begin)
    return best


def rows() -> list[dict[str, object]]:
    """Return what was measured, for the table of all benchmarks."""
    log = evening()
    found = debrief(log, name="evening")
    whole = seconds(lambda: debrief(log, name="evening"))
    angle = log.track["awa"].to_numpy()
    as_list = angle.tolist()
    same = len(side_changes(angle)) == sides_row_by_row(as_list)
    ours, theirs = seconds(lambda: side_changes(angle)), seconds(lambda: sides_row_by_row(as_list), 1)
    return [
        {
            "name": f"debrief of {HOURS} h at {HERTZ} Hz, {log.track.height} fixes, {found.tacks} tacks",
            "ours": whole,
            "unit": "s",
            "target": f"< {SECONDS_ALLOWED:g} s",
            "ok": whole < SECONDS_ALLOWED,
        },
        {
            "name": "sides of the wind against a row-by-row loop" + ("" if same else " (RESULTS DIFFER)"),
            "ours": ours,
            "theirs": theirs,
            "ratio": theirs / ours,
            "unit": "s",
            "target": ">= 3",
            "ok": same and theirs / ours >= 3.0,
        },
    ]
