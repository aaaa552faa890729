"""A season's fleet: 100 boats, 2 h each at 5 Hz (3.6 million fixes), from files to rows on two cores."""

from __future__ import annotations

import os
import resource
import sys
import tempfile
import time
from pathlib import Path

from cringle.track.frozen_polar import sketch_polar
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import writer_of
from cringle.workflows.afloat.season import SeasonAsked, season

BOATS, DISTINCT = 100, 5
HOURS, HERTZ = 2, 5
SECONDS_ALLOWED, BYTES_ALLOWED = 60.0, 1.5e9
FORMAT = os.environ.get("BENCH_FORMAT", "nmea")


def fleet(folder: Path) -> int:
    """Write the logs, a few simulated boats over and over under other names; return the fixes in all."""
    write = writer_of(FORMAT)
    options = SimOptions(boats=DISTINCT, laps=7, leg_m=900.0, sensors=SimSensors(rate_hz=float(HERTZ)))
    boats = simulate(options, sketch_polar(), 1).boats
    fixes = 0
    for boat in boats:
        content = write(boat.fixes, boat.name)
        for copy in range(BOATS // DISTINCT):
            (folder / f"{boat.name}-{copy}.{FORMAT}").write_bytes(content)
            fixes += boat.fixes.rows
    return fixes


def memory_bytes() -> float:
    """Return the most memory this process and its largest child have taken, two children being at work."""
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    child = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    unit = 1 if sys.platform == "darwin" else 1024
    return float(own + 2 * child) * unit


def rows() -> list[dict[str, object]]:
    """Return what was measured, for the table of all benchmarks."""
    with tempfile.TemporaryDirectory() as name:
        os.environ["XDG_CACHE_HOME"] = f"{name}/cache"
        folder = Path(name) / "logs"
        folder.mkdir()
        fixes = fleet(folder)
        begin = time.perf_counter()
        found = season(SeasonAsked(folder, workers=2))
        taken = time.perf_counter() - begin
        begin = time.perf_counter()
        again = season(SeasonAsked(folder, workers=2))
        resumed = time.perf_counter() - begin
    used = memory_bytes()
    return [
        {
            "name": f"{found.files} logs ({FORMAT}), {fixes} fixes, {len(found.rows)} rows, two processes",
            "ours": taken,
            "unit": "s",
            "target": f"< {SECONDS_ALLOWED:g} s",
            "ok": taken < SECONDS_ALLOWED and not found.failed,
        },
        {
            "name": "most memory: this process and two of its largest child",
            "ours": used / 1e9,
            "unit": "GB",
            "target": f"< {BYTES_ALLOWED / 1e9:g}",
            "ok": used < BYTES_ALLOWED,
        },
        {
            "name": f"the same again, {again.unchanged} files unchanged",
            "ours": resumed,
            "unit": "s",
            "target": "< 5",
            "ok": resumed < 5.0 and again.rows == found.rows,
        },
    ]
