"""A debrief after reading: four hours at 10 Hz, with the ledger, and the same steps written row by row."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache

import numpy as np
import polars as pl
from numpy.typing import NDArray

from cringle.track.debrief.debrief import DebriefOptions, debrief
from cringle.track.debrief.race import RaceOptions
from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.ledger import SAILED, UPWIND, Baseline, LedgerRows, split
from cringle.track.reading.read import TrackLog
from cringle.track.reading.report import ReadReport
from cringle.track.schema import TIME, TRACK_SCHEMA
from cringle.track.sides import side_changes
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.units import wrap_degrees, wrap_signed_degrees

HOURS, HERTZ = 4, 10
BOARD_S = 150
SECONDS_ALLOWED = 3.0
POLAR = sketch_polar()
OPTIONS = DebriefOptions(race=RaceOptions(POLAR))

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


@cache
def raced_log(hours: int = HOURS) -> TrackLog:
    """Return a simulated race that lasts some hours, at 10 Hz with instruments."""
    sensors = SimSensors(rate_hz=float(HERTZ), instruments=True)
    boat = simulate(SimOptions(laps=6 * hours, leg_m=600.0, sensors=sensors), POLAR, 1).boats[0]
    track = boat.track().head(int(hours * 3600 * HERTZ))
    return TrackLog(track, {}, ReadReport("nmea", "0" * 64, 1, 1, 1, {}))


def ledger_rows_of(count: int) -> LedgerRows:
    """Return that many random seconds on a beat."""
    rng = np.random.default_rng(2)
    return LedgerRows(
        wind_kn=rng.uniform(5.0, 20.0, count),
        angle_deg=rng.uniform(30.0, 60.0, count),
        speed_kn=rng.uniform(3.0, 6.0, count),
        heel_deg=rng.uniform(0.0, 30.0, count),
        kind=np.full(count, UPWIND, dtype=np.int8),
        leg=np.zeros(count, dtype=np.int64),
        charge=np.full(count, SAILED, dtype=np.int8),
    )


def one_by_one(rows: LedgerRows) -> float:
    """Return the seconds lost with the same function called for one second at a time."""
    total = 0.0
    for row in range(rows.wind_kn.size):
        one = slice(row, row + 1)
        second = LedgerRows(
            rows.wind_kn[one],
            rows.angle_deg[one],
            rows.speed_kn[one],
            rows.heel_deg[one],
            rows.kind[one],
            rows.leg[one],
            rows.charge[one],
        )
        total += split(second, Baseline(POLAR)).total_s
    return total


def ledger_row() -> dict[str, object]:
    """Return the ledger as arrays beside a loop over its seconds."""
    some = ledger_rows_of(2000)
    ours, theirs = seconds(lambda: split(some, Baseline(POLAR))), seconds(lambda: one_by_one(some), 1)
    same = abs(one_by_one(some) - split(some, Baseline(POLAR)).total_s) < 1e-6
    return {
        "name": "ledger of 2000 s against a row-by-row loop" + ("" if same else " (RESULTS DIFFER)"),
        "ours": ours,
        "theirs": theirs,
        "ratio": theirs / ours,
        "unit": "s",
        "target": ">= 20",
        "ok": same and theirs / ours >= 20.0,
    }


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
        *raced_rows(),
        ledger_row(),
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


def raced_rows() -> list[dict[str, object]]:
    """Return the whole debrief of a race, and how it grows with the fixes."""
    long, short = raced_log(), raced_log(1)
    whole = seconds(lambda: debrief(long, name="race", options=OPTIONS), 2)
    part = seconds(lambda: debrief(short, name="race", options=OPTIONS), 2)
    more = long.track.height / short.track.height
    return [
        {
            "name": f"raced, with wind, legs, losses, heel and ledger; {long.track.height} fixes",
            "ours": whole,
            "unit": "s",
            "target": f"< {SECONDS_ALLOWED:g} s",
            "ok": whole < SECONDS_ALLOWED,
        },
        {
            "name": f"{more:.1f} times the fixes: times the time",
            "ours": whole / part,
            "unit": "x",
            "target": f"< {1.3 * more:.1f}",
            "ok": whole / part < 1.3 * more,
        },
    ]
