"""The speed model: a whole polar against the same model point by point, brute heel, growth, memory, cache."""

from __future__ import annotations

import resource
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize_scalar

from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.boat.toml_text import parse, read_toml
from cringle.speed.balance import EXACT_STEPS, balance_at, cells_at
from cringle.speed.cases import Case
from cringle.speed.ensemble import members
from cringle.speed.ensemble_targets import ensemble_targets
from cringle.speed.equilibrium import Status, solve
from cringle.speed.model import SpeedModel
from cringle.speed.polar import Polar, heels_of, polar, polars
from cringle.units import degrees_to_radians, knots_to_metres_per_second
from cringle.workflows.speed.cache import kept_in, model_text

EXAMPLES = Path(__file__).parents[1] / "examples"
WINDS = np.linspace(4.0, 25.0, 22)
ANGLES = np.linspace(30.0, 180.0, 76)
ENSEMBLE_WINDS = np.arange(6.0, 21.0, 2.0)
POINTS = 24
BRUTE_WINDS, BRUTE_ANGLES = WINDS[::4], ANGLES[::5]


def demo() -> SpeedModel:
    """Return the demo boat with its crew."""
    return SpeedModel.from_files(
        parse(read_toml(EXAMPLES / "class.toml"), ClassFile),
        parse(read_toml(EXAMPLES / "crew.toml"), CrewFile),
    )


def seconds(act: Callable[[], object], repeats: int = 5) -> float:
    """Return the shortest time of a few calls: other work on the machine only ever adds."""
    found = []
    for _ in range(repeats):
        start = time.perf_counter()
        act()
        found.append(time.perf_counter() - start)
    return min(found)


def processor_seconds(act: Callable[[], object], repeats: int = 3) -> float:
    """Return the shortest processor time of a call over all threads, which other work disturbs less."""
    found = []
    for _ in range(repeats):
        start = time.process_time()
        act()
        found.append(time.process_time() - start)
    return min(found)


def one_point(model: SpeedModel, case: Case, wind_kn: float, angle_deg: float) -> float:
    """Return the best speed over heel in m/s, by SciPy's scalar solvers on the same balance of forces."""
    air = model.air(case)
    wind = np.array(knots_to_metres_per_second(wind_kn) * air.wind_ratio())
    angle = np.array(degrees_to_radians(angle_deg))

    def slowness(heel_deg: float) -> float:
        cell = cells_at(model, wind, angle, np.array(degrees_to_radians(heel_deg)))

        def surplus(speed: float) -> float:
            return float(balance_at(model, air, cell, np.array(speed), steps=EXACT_STEPS)[0].surplus)

        for high, low in ((11.9, 6.0), (6.0, 3.0), (3.0, 1.0), (1.0, 0.2)):
            if surplus(low) > 0.0 > surplus(high):
                return -float(brentq(surplus, low, high, xtol=1e-6))
        return 0.0

    best = minimize_scalar(
        slowness, bounds=(case.heel_low_deg, case.heel_high_deg), method="bounded", options={"xatol": 0.25}
    )
    return -float(best.fun)


def point_by_point(model: SpeedModel, found: tuple[Polar, ...]) -> float:
    """Return the time of one cell with SciPy, mean over converged cells of every case [s]."""
    rng = np.random.default_rng(5)
    chosen = []
    for one in found:
        rows = np.argwhere(one.cells.converged)
        for row, column in rows[rng.choice(len(rows), POINTS // len(found), replace=False)]:
            chosen.append((one.case, float(WINDS[row]), float(ANGLES[column])))
    start = time.perf_counter()
    for case, wind, angle in chosen:
        one_point(model, case, wind, angle)
    return (time.perf_counter() - start) / len(chosen)


def brute_difference(model: SpeedModel) -> float:
    """Return how much faster [m/s] the best of all half degrees of heel, cell by cell, is at most."""
    worst = 0.0
    for case in (model.upwind, *model.run):
        found = polar(model, BRUTE_WINDS, BRUTE_ANGLES, case=case).cells
        brute = solve(
            model, BRUTE_WINDS[:, None, None], BRUTE_ANGLES[None, :, None], case=case, heel_deg=heels_of(case)
        )
        speed: NDArray[np.float64] = knots_to_metres_per_second(np.nan_to_num(brute.boat_speed_kn))
        froude = speed / model.froude_speed
        inside = (froude >= case.froude_low) & (froude < case.froude_high)
        best = np.where(inside, speed, 0.0).max(axis=-1)
        mine: NDArray[np.float64] = knots_to_metres_per_second(found.boat_speed_kn)
        worst = max(worst, float(np.nanmax(np.where(found.converged, best - mine, np.nan))))
    return worst


def growth(model: SpeedModel) -> float:
    """Return the exponent of the time over the number of cells, from half the grid to twice the grid."""

    def timed(winds: int, angles: int) -> float:
        grid = np.linspace(4.0, 25.0, winds), np.linspace(30.0, 180.0, angles)
        return seconds(lambda: polar(model, *grid, case=model.upwind))

    small, large = timed(22, 38), timed(22, 152)
    return float(np.log(large / small) / np.log(4.0))


def cached_read_ms(model: SpeedModel) -> float:
    """Return the time to build the model from its files' content and read a kept answer [ms]."""
    answer = {"rows": [{"tws_kn": float(wind), "heel_deg": 12.0} for wind in WINDS]}
    with tempfile.TemporaryDirectory() as folder:
        kept_in(Path(folder), "targets", (model_text(model),), lambda: answer)

        def read() -> object:
            fresh = SpeedModel.from_files(model.class_file, model.crew, model.around)
            return kept_in(Path(folder), "targets", (model_text(fresh),), lambda: {})

        return 1000.0 * seconds(read, 20)


def _row(
    name: str, ours: float, *, unit: str, target: float | None, ok: bool, theirs: float | None = None
) -> dict[str, object]:
    ratio = None if theirs is None else theirs / ours
    return {
        "name": name,
        "ours": ours,
        "theirs": theirs,
        "ratio": ratio,
        "unit": unit,
        "target": target,
        "ok": ok,
    }


def rows() -> list[dict[str, object]]:
    """Return the measured rows."""
    model = demo()
    found = polars(model, WINDS, ANGLES)
    whole = seconds(lambda: polars(model, WINDS, ANGLES))
    core_time = processor_seconds(lambda: polars(model, WINDS, ANGLES))
    cells = len(found) * WINDS.size * ANGLES.size
    each = point_by_point(model, found)
    status = np.concatenate([one.cells.status.ravel() for one in found])
    lost, good = (int((status == one).sum()) for one in (Status.NOT_CONVERGED, Status.CONVERGED))
    boats, cases = members(model), (model.upwind, *model.run)
    drawn = seconds(lambda: ensemble_targets(boats, ENSEMBLE_WINDS, cases=cases))
    brute, exponent, read = brute_difference(model), growth(model), cached_read_ms(model)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    return [
        _row(f"polar, {cells} cells, heel to 0.5 deg", whole, unit="s", target=1.0, ok=whole < 1.0),
        _row("the same in processor time, both cores", core_time, unit="s", target=2.0, ok=core_time < 2.0),
        _row("against scipy.optimize, a cell", 1e3 * whole / cells, theirs=1e3 * each, unit="ms",
             target=100.0, ok=each * cells / whole >= 100.0),
        _row("faster by brute heel, at most", brute, unit="m/s", target=0.01, ok=brute < 0.01),
        _row("reachable cells that converge", 100.0 * good / (good + lost), unit="%", target=99.5,
             ok=good >= 0.995 * (good + lost)),
        _row(f"targets of {len(boats)} members, {len(cases)} cases, {ENSEMBLE_WINDS.size} winds", drawn,
             unit="s", target=3.0, ok=drawn < 3.0),
        _row("time goes with cells to the power", exponent, unit="1", target=1.2, ok=exponent < 1.2),
        _row("largest memory of this process", memory, unit="MB", target=1024.0, ok=memory < 1024.0),
        _row("cached read", read, unit="ms", target=20.0, ok=read < 20.0),
    ]  # fmt: skip


if __name__ == "__main__":
    for row in rows():
        print(row)
