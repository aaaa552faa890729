"""The settings room against the world outside: interpolation, the wind gradient, statics, units."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from cringle.boat.read import read_book_files
from cringle.settings.interpolate import monotone, monotone_slopes
from cringle.settings.shift import buoyancy_depth, equivalent_wind, righting_moment, waterplane_inertia
from cringle.settings.winds import height_ratio

SCIPY = "SciPy, scipy.interpolate.PchipInterpolator"
TABLES = 500


def _tables():
    random = np.random.default_rng(41)
    for _ in range(TABLES):
        rows = int(random.integers(2, 13))
        winds = np.cumsum(random.uniform(0.5, 5.0, rows))
        kind = random.integers(3)
        marks = random.normal(0.0, 5.0, rows)
        if kind == 1:
            marks = np.cumsum(np.abs(marks))
        if kind == 2:
            marks = np.round(marks)
        yield winds, marks


def test_interpolation_agrees_with_pchip(outside):
    worst = 0.0
    for winds, marks in _tables():
        at = np.linspace(winds[0], winds[-1], 101)
        worst = max(
            worst, float(np.max(np.abs(monotone(winds, marks, at) - PchipInterpolator(winds, marks)(at))))
        )
    outside.close(
        id="S01",
        what=f"monotone interpolation, worst difference over {TABLES} random tables",
        got=worst,
        expected=0.0,
        atol=1e-11,
        source=SCIPY,
    )


def test_slopes_agree_with_pchip(outside):
    worst = 0.0
    for winds, marks in _tables():
        theirs = PchipInterpolator(winds, marks).derivative()(winds)
        worst = max(worst, float(np.max(np.abs(monotone_slopes(winds, marks) - theirs))))
    outside.close(
        id="S02",
        what="slopes at the rows, worst difference",
        got=worst,
        expected=0.0,
        atol=1e-10,
        source=SCIPY,
    )


def test_no_overshoot_on_the_published_data(outside):
    """Monotone data with two steep steps: a cubic spline overshoots, the monotone cubic must not."""
    x = np.array([7.99, 8.09, 8.19, 8.7, 9.2, 10.0, 12.0, 15.0, 20.0])
    f = np.array([0.0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994])
    dense = monotone(x, f, np.linspace(x[0], x[-1], 4001))
    outside.true(
        id="S03",
        what="radiochemical data set: monotone and inside [0, 1] everywhere",
        ok=bool(np.all(np.diff(dense) >= 0.0) and dense.min() >= 0.0 and dense.max() <= 1.0),
        got=f"{dense.min():g} to {dense.max():g}",
        source="Fritsch and Carlson, SIAM J. Numer. Anal. 17, 1980, data set RPN 14",
        memory=True,
    )


def test_wind_gradient_over_water(outside):
    ratio = height_ratio(2.0, 10.0)
    outside.within(
        id="S04",
        what="wind at 10 m over wind at 2 m above open water",
        got=ratio,
        low=1.15,
        high=1.22,
        source="power law (10/2)^0.11, Hsu, Meindl and Gilhousen 1994, give or take 3 %",
        memory=True,
    )


def test_equal_heeling_moment(outside):
    outside.close(
        id="S05",
        what="wind in which a boat with 19 % less righting moment is as hard pressed as in 10 kn",
        got=equivalent_wind(10.0, moment=0.81, reference_moment=1.0),
        expected=10.0 / 0.9,
        rtol=1e-12,
        source="wind pressure goes with the square of its speed: any textbook",
        kind="arithmetic",
    )


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


def test_wall_sided_hull_is_exact_for_a_box(outside, files):
    """The righting arm of a floating box from the polygon of its heeled section, against the formula."""
    hull = files.class_file.hull
    length, beam, draft, heel = 5.95, 1.70, 0.30, math.radians(12.0)
    volume = length * beam * draft
    mass = volume * 1025.0
    box = hull.model_copy(
        update={
            "length_waterline": length,
            "beam_waterline": beam,
            "draft_canoe": draft,
            "area_waterplane": length * beam,
            "volume_canoe": volume,
            "mass": mass,
            "centre_of_gravity_z": 0.10,
        }
    )
    moment = righting_moment(files.class_file.model_copy(update={"hull": box}), [], math.degrees(heel))
    arm = _box_righting_arm(beam, draft, heel, centre_of_gravity_z=0.10)
    outside.close(
        id="S06",
        what="righting moment of a floating box at 12 degrees [N m]",
        got=moment,
        expected=mass * 9.80665 * arm,
        rtol=1e-9,
        source="integration of the immersed polygon, independent of the formula",
    )


def _box_righting_arm(beam, draft, heel, *, centre_of_gravity_z):
    """Return GZ from the centroid of the immersed polygon in the box's own axes [m]."""
    half, rise = beam / 2.0, beam / 2.0 * math.tan(heel)
    corners = [(-half, -draft), (half, -draft), (half, rise), (-half, -rise)]
    area = y = z = 0.0
    for (y0, z0), (y1, z1) in zip(corners, corners[1:] + corners[:1], strict=True):
        cross = y0 * z1 - y1 * z0
        area += cross / 2.0
        y += (y0 + y1) * cross / 6.0
        z += (z0 + z1) * cross / 6.0
    centre_y, centre_z = y / area, z / area
    return centre_y * math.cos(heel) + (centre_z - centre_of_gravity_z) * math.sin(heel)


def test_formulas_for_form(outside, files):
    hull = files.class_file.hull
    box = hull.model_copy(update={"area_waterplane": hull.length_waterline * hull.beam_waterline})
    outside.close(
        id="S07",
        what="second moment of a rectangular waterplane [m4]",
        got=waterplane_inertia(box),
        expected=5.95 * 1.70**3 / 12.0,
        rtol=1e-12,
        source="L B^3 / 12",
        kind="arithmetic",
    )
    wedge = hull.model_copy(update={"area_waterplane": 10.0, "draft_canoe": 0.3})
    outside.close(
        id="S08",
        what="depth of buoyancy of a triangular section, a third of its draft [m]",
        got=buoyancy_depth(wedge, 1.5),
        expected=0.3 / 3.0,
        rtol=1e-12,
        source="centroid of a triangle",
    )


def test_size_of_a_useful_step(outside, files):
    lines = [one for one in files.boat_file.controls if "sheet" in one.id and one.id.startswith("jib")]
    steps_mm = [one.step * one.mm_per_mark for one in lines]
    outside.within(
        id="S09",
        what="step of the demo boat's jib sheets [mm]",
        got=steps_mm,
        low=5.0,
        high=13.0,
        source="common practice, no source: about half an inch of line and often less",
        kind="practice",
    )
