"""The gauge study against a published worked example, certified data and two independent computations."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from cringle.settings.gauge import Reading, analyse, gauge_study

NIST = Path(__file__).parents[1] / "data" / "nist"
MANUAL = (
    "AIAG, Measurement Systems Analysis, 4th ed., 2010, ch. III: ten parts, three appraisers, three trials"
)
STRD = "NIST/ITL Statistical Reference Datasets, one-way analysis of variance"

PARTS = {
    "A": (
        (0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
        (0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
        (0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
    ),
    "B": (
        (0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
        (0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
        (0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
    ),
    "C": (
        (0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
        (-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
        (-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
    ),
}
"""Readings of the manual's worked example, from memory. That the four printed sums of squares come out to
all their digits is a check of the memory, too: one slip in ninety figures would show."""


def manual_readings() -> list[Reading]:
    return [
        Reading(person, float(part), value)
        for person, trials in PARTS.items()
        for trial in trials
        for part, value in enumerate(trial, start=1)
    ]


def manual_table() -> NDArray[np.float64]:
    return np.array([[[trial[part] for trial in PARTS[who]] for who in "ABC"] for part in range(10)])


def test_sums_of_squares_of_the_worked_example(outside: Any) -> None:
    found = analyse(manual_table())
    outside.close(
        id="G01",
        what="sums of squares: parts, appraisers, interaction, equipment",
        got=[found.marks_ss, found.people_ss, found.interaction_ss, found.repeat_ss],
        expected=[88.3619, 3.1673, 0.3590, 2.7589],
        atol=5e-5,
        source=MANUAL,
        memory=True,
    )


def test_spreads_of_the_worked_example(outside: Any) -> None:
    found = gauge_study(manual_readings(), 1.0, mm_per_mark=1.0)
    outside.close(
        id="G02",
        what="spreads: repeatability, reproducibility, gauge, part (interaction pooled)",
        got=[
            found.repeatability_mm,
            found.reproducibility_mm,
            found.gauge_mm,
            found.marks_spread_mm,
        ],
        expected=[0.199933, 0.226838, 0.302373, 1.042327],
        atol=2e-6,
        source=MANUAL,
        memory=True,
    )
    outside.true(
        id="G03",
        what="number of distinct categories is 4",
        ok=found.pooled and found.categories == 4,
        got=f"{found.categories}",
        source=MANUAL,
        memory=True,
    )


def residual_ss(columns: list[NDArray[np.float64]], values: NDArray[np.float64]) -> float:
    """Residual sum of squares of a least-squares fit on indicator columns."""
    design = np.column_stack(columns)
    fitted = design @ np.linalg.lstsq(design, values, rcond=None)[0]
    return float(np.sum((values - fitted) ** 2))


def indicators(names: list[object]) -> list[NDArray[np.float64]]:
    return [np.array([float(name == level) for name in names]) for level in dict.fromkeys(names)]


def test_two_way_analysis_by_nested_regressions(outside: Any) -> None:
    readings = manual_readings()
    values = np.array([one.reading_mm for one in readings])
    parts = indicators([one.mark for one in readings])
    people = indicators([one.person for one in readings])
    cells = indicators([(one.mark, one.person) for one in readings])
    additive, full = residual_ss(parts + people, values), residual_ss(cells, values)
    expected = [
        residual_ss(people, values) - additive,
        residual_ss(parts, values) - additive,
        additive - full,
        full,
    ]
    found = analyse(manual_table())
    outside.close(
        id="G04",
        what="sums of squares against nested least-squares fits on indicator columns",
        got=[found.marks_ss, found.people_ss, found.interaction_ss, found.repeat_ss],
        expected=expected,
        rtol=1e-9,
        source="NumPy, numpy.linalg.lstsq",
    )


def certified(name: str) -> tuple[NDArray[np.float64], list[float]]:
    """Return groups x repeats, and the certified between, within and F."""
    lines = (NIST / name).read_text(encoding="ascii").splitlines()
    between = next(line.split() for line in lines if line.startswith("Between"))
    within = next(line.split() for line in lines if line.startswith("Within"))
    rows = [line.split() for line in lines[60:] if len(line.split()) == 2]
    groups: dict[str, list[float]] = {}
    for group, value in rows:
        groups.setdefault(group, []).append(float(value))
    return np.array(list(groups.values())), [float(between[-3]), float(within[-2]), float(between[-1])]


@pytest.mark.parametrize(
    ("number", "name", "shape", "rtol"),
    [
        ("G05", "SiRstv.dat", (5, 5), 1e-9),
        ("G06", "AtmWtAg.dat", (2, 24), 1e-6),
        ("G07", "SmLs01.dat", (9, 21), 1e-12),
    ],
)
def test_one_way_analysis_of_certified_data(
    outside: Any, number: str, name: str, shape: tuple[int, int], rtol: float
) -> None:
    groups, expected = certified(name)
    assert groups.shape == shape
    found = analyse(groups[:, None, :])
    outside.close(
        id=number,
        what=f"one person: between, within, F of {name}",
        got=[found.marks_ss, found.repeat_ss, found.marks_f],
        expected=expected,
        rtol=rtol,
        source=STRD,
    )
    outside.close(
        id=f"{number}b",
        what=f"one person: F of {name} recomputed",
        got=found.marks_f,
        expected=float(stats.f_oneway(*groups).statistic),
        rtol=1e-6,
        source="SciPy, scipy.stats.f_oneway",
    )
