"""The residuary regressions against the open towing-tank data of the first systematic series.

The data are for models with keel and rudder, the regressions for bare canoe bodies: the likely reason (from
memory) for the offset that is measured here. The regressions are not tuned to the data; the offset is
reported, then removed.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from cringle.physics import residuary
from cringle.physics.hull_form import HullForm

SOURCE = "Gerritsma, Onnink and Versluis 1981; UCI data set 243 (CC BY 4.0)"
GRID = (0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45)
DUPLICATE = 5
WATERPLANE_COEFFICIENT = 0.69
"""Assumed for all hulls: the data set has no waterplane area."""


@pytest.fixture(scope="module")
def rows() -> list[dict[str, float]]:
    path = Path(__file__).parents[1] / "data" / "yacht_hydrodynamics.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return [{key: float(value) for key, value in row.items()} for row in csv.DictReader(file)]


def _hull(row: dict[str, float]) -> HullForm:
    """Return the canoe body of a row at 10 m, with what the data set lacks assumed."""
    length, volume = 10.0, (10.0 / row["l_over_disp13"]) ** 3
    beam = length / row["l_over_b"]
    draft = beam / row["b_over_t"]
    flotation = -1.92 + 0.61 * row["lcb_pct"]
    return HullForm(
        length,
        beam,
        draft,
        volume,
        row["cp"],
        volume / (length * beam * draft * row["cp"]),
        WATERPLANE_COEFFICIENT * length * beam,
        length * (0.5 - row["lcb_pct"] / 100.0),
        length * (0.5 - flotation / 100.0),
        0.35,
        0.0,
        0.9 * beam,
        0.2,
        0.4 * length,
        0.5 * length,
    )


def _errors(rows, froude, function):
    """Return regression minus data at one Froude number, thousandths of the weight, one value a hull."""
    chosen = [row for row in rows if math.isclose(row["fn"], froude) and row["hull"] != DUPLICATE]
    assert len(chosen) == 21
    model = [1e3 * _at(function(residuary.shape_ratios(_hull(row))), froude) for row in chosen]
    return np.array(model) - np.array([row["rr_per_disp_e3"] for row in chosen])


def _at(regression, froude):
    return regression[1][int(np.argmin(np.abs(regression[0] - froude)))]


def test_data_file(outside, rows):
    hulls = {row["hull"] for row in rows}
    by_hull = {number: [row["rr_per_disp_e3"] for row in rows if row["hull"] == number] for number in (4, 5)}
    outside.close(
        id="H10",
        what="rows and hulls of the data file",
        got=[len(rows), len(hulls)],
        expected=[308, 22],
        source=SOURCE,
    )
    outside.true(
        id="H10b",
        what="hulls 4 and 5 carry the same resistance, so 5 is left out",
        ok=by_hull[4] == by_hull[5],
        got=f"{len(by_hull[4])} equal values",
        source=SOURCE,
    )


@pytest.mark.parametrize(("froude", "limit"), [(0.40, 1.7), (0.45, 3.3)])
def test_residuary_without_offset(outside, rows, froude, limit):
    """The offset is removed leaving the hull out that is judged."""
    errors = _errors(rows, froude, residuary.rows_1998)
    left_out = errors - (errors.sum() - errors) / (errors.size - 1)
    rmse = float(np.sqrt(np.mean(left_out**2)))
    outside.within(
        id="H08",
        what=f"RMS error at Froude {froude}, offset removed, thousandths of the weight",
        got=rmse,
        low=0.0,
        high=limit,
        source=f"{SOURCE}; regression from memory",
        memory=True,
    )


def test_residuary_bias(outside, rows):
    bias = float(_errors(rows, 0.45, residuary.rows_1998).mean())
    outside.close(
        id="H09",
        what="mean error at Froude 0.45, thousandths of the weight",
        got=bias,
        expected=-7.5,
        atol=0.4,
        source=f"{SOURCE}; regression from memory",
        memory=True,
    )


@pytest.mark.parametrize("froude", GRID)
def test_offset_and_rms_at_every_froude_number(outside, rows, froude):
    """Offset and raw RMS error as they are, for both regressions; neither hidden nor tuned away."""
    expected = {
        0.15: (-0.22, -0.19),
        0.20: (-0.39, -0.39),
        0.25: (-0.64, -0.65),
        0.30: (-0.96, -0.84),
        0.35: (-1.47, -1.54),
        0.40: (-2.73, -2.84),
        0.45: (-7.46, -7.81),
    }
    first, second = (_errors(rows, froude, one) for one in (residuary.rows_1998, residuary.rows_2008))
    rmse = [float(np.sqrt(np.mean(one**2))) for one in (first, second)]
    outside.close(
        id=f"H09-{froude:.2f}",
        what=f"offset of both regressions at Froude {froude} (raw RMS {rmse[0]:.2f}, {rmse[1]:.2f})",
        got=[first.mean(), second.mean()],
        expected=expected[froude],
        atol=0.03,
        source=SOURCE,
        memory=True,
    )
