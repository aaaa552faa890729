"""Trials: pair analysis, resampling against arch, evidence and suggestion; coverage and false alarms."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np
import polars as pl
from arch.bootstrap import CircularBlockBootstrap
from numpy.typing import NDArray
from scipy.signal import lfilter

from cringle.track.schema import TRACK_SCHEMA
from cringle.track.series import series_of
from cringle.trials import noise
from cringle.trials.always_valid import is_ruled_out
from cringle.trials.bootstrap import resample
from cringle.trials.noise import contrasts, noise_grid
from cringle.trials.optimum import Cell, find_optimum
from cringle.trials.pair import PairWish, compare, smooth_wind
from cringle.trials.response import Seen, respond
from cringle.trials.suggest import Candidate, suggest
from cringle.trials.together import together

Floats = NDArray[np.float64]
RUNS = 2000
BLOCK = 60


def best_of(task: Callable[[], object], repeats: int) -> float:
    """Return the least seconds of several runs."""
    found = []
    for _ in range(repeats):
        start = time.perf_counter()
        task()
        found.append(time.perf_counter() - start)
    return min(found)


def row(
    name: str, ours: float, theirs: float | None, unit: str, target: str, *, ok: bool
) -> dict[str, object]:
    """Return one line of the table."""
    ratio = None if theirs is None else theirs / ours
    return {
        "name": name, "ours": ours, "theirs": theirs, "ratio": ratio, "unit": unit, "target": target, "ok": ok
    }  # fmt: skip


def autoregressive(rng: np.random.Generator, runs: int, seconds: int, forgetting: Floats) -> Floats:
    """Return noise of s.d. 1, one run a row, each with its own forgetting time [s]."""
    phi = np.exp(-1.0 / forgetting)
    shocks = rng.standard_normal((runs, seconds))
    rows = [
        lfilter([1.0], [1.0, -p], np.concatenate([[one[0] / np.sqrt(1.0 - p**2)], one[1:]]))
        * np.sqrt(1.0 - p**2)
        for p, one in zip(phi, shocks, strict=True)
    ]
    return np.array(rows)


def log(seed: int, east: float) -> pl.DataFrame:
    """Return an invented hour at 10 Hz, tacking every ten minutes, wind from the north."""
    rng, fixes = np.random.default_rng(seed), 36_000
    seconds = np.arange(fixes) / 10.0
    side = np.where((seconds // 600.0) % 2 == 0, 1.0, -1.0)
    speed = 2.8 + 0.06 * autoregressive(rng, 1, fixes, np.array([300.0]))[0]
    course = np.radians(42.0 * side)
    north, across = np.cumsum(speed * np.cos(course)) / 10.0, east + np.cumsum(speed * np.sin(course)) / 10.0
    start = int(datetime(2026, 5, 1, 17, tzinfo=UTC).timestamp() * 1e6)
    known = {
        "time": pl.Series((start + seconds * 1e6).astype(np.int64)).cast(pl.Datetime("us", "UTC")),
        "lat": 54.0 + north / 111_320.0,
        "lon": -5.0 + across / 65_430.0,
        "twd": np.zeros(fixes),
    }
    missing = [pl.lit(None, kind).alias(name) for name, kind in TRACK_SCHEMA.items() if name not in known]
    return pl.DataFrame(known).with_columns(missing).select(list(TRACK_SCHEMA))


def pair_analysis() -> dict[str, object]:
    """Time two one-hour 10 Hz logs, from the tracks in memory to the verdict and 10,000 resamples."""
    tracks = (log(1, 0.0), log(2, 60.0))

    def task() -> object:
        noise._grid.cache_clear()
        both = together(series_of(tracks[0]), series_of(tracks[1]))
        found = compare(both, smooth_wind(both), PairWish())
        return found, resample(found.series.gain)

    ours = best_of(task, 3)
    return row("pair: two hours at 10 Hz, 10,000 resamples", ours, None, "s", "under 1 s", ok=ours < 1.0)


def resampling() -> dict[str, object]:
    """Time 10,000 block resamples of an hour of seconds here and in arch."""
    values = autoregressive(np.random.default_rng(3), 1, 3600, np.array([40.0]))[0]
    ours = best_of(lambda: resample(values, block=BLOCK, resamples=10_000), 3)
    theirs = best_of(lambda: CircularBlockBootstrap(BLOCK, values, seed=1).apply(np.mean, 10_000), 1)
    return row("10,000 block resamples of 3600", ours, theirs, "s", "5 times arch", ok=theirs / ours >= 5.0)


def observations(count: int) -> list[Seen]:
    """Return invented trials of one role over all winds."""
    rng = np.random.default_rng(4)
    return [
        Seen(wind, tried, 0.0, 1.0 - (tried - 1.0) ** 2 + rng.normal(0.0, 1.0), 1.0, f"day {number // 2}")
        for number, (wind, tried) in enumerate(
            zip(rng.uniform(4.0, 20.0, count), rng.choice([-1.0, 1.0], count), strict=True)
        )
    ]


def learning() -> list[dict[str, object]]:
    """Time the evidence fit of 500 observations and the suggestion from it."""
    seen = observations(500)
    fitted = best_of(lambda: find_optimum(respond(seen), Cell(11.0)), 2)
    season = tuple((Cell(wind), 0.1) for wind in (4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 24.0))
    known = [Candidate(f"role {n}", respond(observations(40)), Cell(11.0), season) for n in range(12)]
    asked = best_of(lambda: suggest(known), 2)
    many = [Candidate("many", respond(seen), Cell(11.0), season), *known[1:]]
    from_many = best_of(lambda: suggest(many), 2)
    return [
        row("evidence fit, 500 observations of one role", fitted, None, "s", "under 1 s", ok=fitted < 1.0),
        row("suggestion, 12 roles, 10 winds", asked, None, "s", "under 1 s", ok=asked < 1.0),
        row("suggestion, 500 observations of one", from_many, None, "s", "under 1 s", ok=from_many < 1.0),
    ]


def coverage(kind: str, minutes: int) -> list[dict[str, object]]:
    """Return the share of 2,000 intervals that hold the truth, without and with a swap halfway."""
    rng = np.random.default_rng(minutes)
    if kind == "AR(1), 20 to 60 s":
        record = autoregressive(rng, RUNS, minutes * 60, rng.uniform(20.0, 60.0, RUNS))
    else:
        slow, fast = (autoregressive(rng, RUNS, minutes * 60, np.full(RUNS, t)) for t in (60.0, 8.0))
        record = np.sqrt(0.5) * (slow + fast)
    width = 10 if minutes < 60 else 30
    values: Floats = record.reshape(RUNS, -1, width).mean(axis=2)
    middles: Floats = np.asarray((np.arange(values.shape[1]) + 0.5) * width, dtype=np.float64)
    grid = noise_grid(middles, float(width))
    change = np.where(middles < minutes * 30.0, 1.0, -1.0)
    alone, swapped = np.ones((middles.size, 1)), np.column_stack([change, np.ones(middles.size)])
    found = []
    for how, design, wanted in (("", alone, [[1.0]]), (", swapped halfway", swapped, [[1.0, 0.0]])):
        estimates = contrasts(values, design, wanted, grid)
        share = float(np.mean([one[0].low <= 0.0 <= one[0].high for one in estimates]))
        name = f"coverage of 90 %, {kind}, {minutes} min{how}"
        found.append(row(name, share, None, "share", "0.86 to 0.94", ok=0.86 <= share <= 0.94))
    return found


def false_alarms() -> dict[str, object]:
    """Return the share of 2,000 null runs that ever cry wolf when looked at every minute for an hour."""
    rng = np.random.default_rng(5)
    record = autoregressive(rng, RUNS, 3600, rng.uniform(20.0, 60.0, RUNS))
    values = record.reshape(RUNS, -1, 20).mean(axis=2)
    alarmed = np.zeros(RUNS, dtype=bool)
    for count in range(6, values.shape[1] + 1, 3):
        middles: Floats = np.arange(count, dtype=np.float64) * 20.0
        grid = noise_grid(middles, 20.0)
        alarmed |= is_ruled_out(values[:, :count], np.zeros(RUNS), grid)
    share = float(alarmed.mean())
    return row("false alarms, a look a minute, 60 min", share, None, "share", "under 0.10", ok=share < 0.10)


def rows() -> list[dict[str, object]]:
    """Return all lines."""
    kinds = ("AR(1), 20 to 60 s", "half 60 s, half 8 s")
    shares = [one for kind in kinds for minutes in (10, 20, 60) for one in coverage(kind, minutes)]
    return [pair_analysis(), resampling(), *learning(), *shares, false_alarms()]
