"""The simulator as arrays, and finding wind and legs; against the same steps second by second."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from cringle.track.frozen_polar import sketch_polar
from cringle.track.race.legs import find_legs
from cringle.track.reading.complete import Complete, complete
from cringle.track.series import series_of
from cringle.track.simulator.noise import wander
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.simulate import simulate
from cringle.track.wind.estimate import estimate_wind

BOATS, LAPS = 50, 6
WANTED_PER_S = 1e6
LONG = SimOptions(laps=12)


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """Return the best of a few runs, in processor time, as other work shares the machine [s]."""
    best = float("inf")
    for _ in range(times):
        begin = time.process_time()
        work()
        best = min(best, time.process_time() - begin)
    return best


def wander_row_by_row(kicks: list[float], memory: float) -> list[float]:
    """Return noise with a memory as a loop: what one of the simulator's seven signals costs row by row."""
    keep = float(np.exp(-1.0 / memory))
    out, last = [], 0.0
    for kick in kicks:
        last = keep * last + kick
        out.append(last)
    return out


def analysed(log: Complete) -> None:
    """Find wind and legs in a log."""
    wind = estimate_wind(log)
    if wind is not None:
        find_legs(log, wind)


def rows() -> list[dict[str, object]]:
    """Return what was measured, for the table of all benchmarks."""
    polar, options = sketch_polar(), SimOptions(boats=BOATS, laps=LAPS)
    fixes = simulate(options, polar, 1).fixes
    whole = seconds(lambda: simulate(options, polar, 1))
    rng = np.random.default_rng(0)
    kicks = rng.standard_normal(1_000_000)
    ours = seconds(lambda: wander(np.random.default_rng(0), (kicks.size,), spread=1.0, memory=8.0))
    as_list = kicks.tolist()
    theirs = seconds(lambda: wander_row_by_row(as_list, 8.0), 1)
    track = simulate(LONG, polar, 1).boats[0].track()
    log = complete(series_of(track))
    found = seconds(lambda: analysed(log))
    return [
        {
            "name": f"simulator, {BOATS} boats, {fixes} fixes with truth, fixes a second of processor time",
            "ours": fixes / whole,
            "unit": "1/s",
            "target": ">= 1e6",
            "ok": fixes / whole >= WANTED_PER_S,
        },
        {
            "name": "noise with a memory, a million rows, against a row-by-row loop (draws excluded there)",
            "ours": ours,
            "theirs": theirs,
            "ratio": theirs / ours,
            "unit": "s",
            "target": ">= 2",
            "ok": theirs / ours >= 2.0,
        },
        {
            "name": f"wind and legs from the track, {log.series.rows / 3600:.1f} h, {track.height} fixes",
            "ours": found,
            "unit": "s",
            "target": "< 1 s",
            "ok": found < 1.0,
        },
    ]
