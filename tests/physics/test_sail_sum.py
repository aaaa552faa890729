"""The sum of the sails, blanketing, wing-on-wing, gears, and the tabulated fast path."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics.assumptions import default_air_assumptions
from cringle.physics.downwind import jib_coefficients, jib_exposure, wing_share
from cringle.physics.sail_sum import SailCurves, effective_height, set_coefficients
from cringle.physics.sails import (
    Arrangement,
    Gear,
    RigGeometry,
    Sail,
    SailSet,
    force_coefficients,
    sail_coefficients,
)

MAIN = Sail("main", 14.0, 4.05, 2.2)
JIB = Sail("jib", 10.6, 3.55, 4.4)
KITE = Sail("kite", 42.0, 5.1, 5.5)
RIG = RigGeometry(9.0, 0.62, 7.9, 2.9, 0.95, 7.9)
SETS = {
    "upwind": SailSet(MAIN, JIB),
    "build": SailSet(MAIN, JIB, gear=Gear.BUILD),
    "main alone": SailSet(MAIN),
    "kite": SailSet(MAIN, kite=KITE),
    "kite and jib": SailSet(MAIN, JIB, KITE),
    "wing": SailSet(MAIN, kite=KITE, arrangement=Arrangement.WING),
    "wing and jib": SailSet(MAIN, JIB, KITE, arrangement=Arrangement.WING),
}


def drive(sails, angle, assumptions=None):
    """Return the driving force area [m2] at full power."""
    full = set_coefficients(sails, RIG, angle=angle, assumptions=assumptions)
    return force_coefficients(full.lift, full.drag, angle)[0] * sails.area


@pytest.mark.parametrize("name", SETS)
def test_the_table_agrees_with_the_exact_sum(name):
    at = np.random.default_rng(5).uniform(-np.pi, np.pi, 4000)
    exact = set_coefficients(SETS[name], RIG, angle=at)
    fast = SailCurves(SETS[name], RIG).at(at)
    set_well = np.abs(at) > np.radians(3.0)
    for name_, got, wanted in zip(exact._fields, fast, exact, strict=True):
        share = 2e-4 if name_.startswith("centre") else 3e-5
        assert_allclose(got[set_well], wanted[set_well], atol=share * np.max(np.abs(wanted)))
        assert_allclose(got, wanted, atol=2e-3 * np.max(np.abs(wanted)))


@pytest.mark.parametrize("name", SETS)
def test_finite_and_alike_on_both_sides(name):
    at = np.linspace(0.0, np.pi, 721)
    right = np.array(set_coefficients(SETS[name], RIG, angle=at))
    assert np.isfinite(right).all()
    assert_allclose(np.array(set_coefficients(SETS[name], RIG, angle=-at)), right)
    assert (right[1:4] >= -1e-15).all()


@pytest.mark.parametrize("name", SETS)
def test_straight_downwind_the_drive_is_the_drag(name):
    full = set_coefficients(SETS[name], RIG, angle=np.pi)
    assert_allclose(force_coefficients(full.lift, full.drag, np.pi)[0], full.drag, rtol=1e-15)


def test_one_sail_alone_keeps_its_coefficients():
    known = default_air_assumptions()
    at = np.radians([20.0, 60.0, 120.0])
    full = set_coefficients(SETS["main alone"], RIG, angle=at)
    single = sail_coefficients("main_adjustable", at)
    assert_allclose((full.lift, full.parasitic_drag), single)
    assert_allclose(full.quadratic_drag, known.main_quadratic_drag * single.lift**2)
    assert_allclose(full.induced_drag, single.lift**2 * 14.0 / (np.pi * effective_height(RIG, 14.0, at) ** 2))
    assert_allclose(full.centre_height, 4.05)


@given(st.floats(0.1, 3.0))
def test_the_centre_lies_between_the_centres_of_the_sails(angle):
    full = set_coefficients(SETS["kite and jib"], RIG, angle=angle)
    assert 3.55 <= full.centre_height <= 5.1
    assert 2.2 <= full.centre_forward <= 5.5


def test_the_gap_opens_as_the_sheets_are_freed():
    at = np.radians([10.0, 30.0, 60.0, 90.0, 180.0])
    height = np.asarray(effective_height(RIG, 14.0, at))
    assert_allclose(height[0], height[1])
    assert height[1] > height[2] > height[3]
    assert_allclose(height[3], height[4])
    assert_allclose(height[1] / height[3], (9.0 + 0.62) / 9.0)


def test_a_jib_alone_fades_to_nothing_before_the_wind():
    at = np.radians([100.0, 130.0, 155.0, 180.0])
    got = jib_coefficients(JIB, at, beside_kite=False)
    clean = sail_coefficients("jib_plain", at)
    assert_allclose(got.drag[:2], clean.drag[:2])
    assert 0.0 < got.drag[2] < clean.drag[2]
    assert_allclose([got.lift[3], got.drag[3]], 0.0, atol=1e-15)


def test_a_jib_beside_a_kite_lies_between_the_two_sets():
    at = np.radians(np.linspace(40.0, 180.0, 141))
    got = jib_coefficients(JIB, at, beside_kite=True)
    clean, covered = sail_coefficients("jib_plain", at), sail_coefficients("jib_blanketed", at)
    for one, a, b in zip(got, clean, covered, strict=True):
        assert (one >= np.minimum(a, b) - 1e-12).all() and (one <= np.maximum(a, b) + 1e-12).all()
    share = np.asarray(jib_exposure(at))
    assert (np.diff(share) <= 1e-15).all() and share[-1] == 0.0 and share[0] == 0.30


def test_the_jib_pays_when_reaching_and_costs_when_running():
    hot, deep = np.radians(85.0), np.radians(125.0)
    assert drive(SETS["kite and jib"], hot) > drive(SETS["kite"], hot)
    assert drive(SETS["kite and jib"], deep) < drive(SETS["kite"], deep)


def test_the_jib_without_exposure_and_loss_changes_nothing_running():
    known = replace(default_air_assumptions(), jib_exposure_beside_kite=0.0, kite_loss_to_jib=0.0)
    deep = np.radians(150.0)
    assert_allclose(drive(SETS["kite and jib"], deep, known), drive(SETS["kite"], deep, known), rtol=0.05)


def test_the_wing_fades_in():
    assert_allclose(
        wing_share(np.radians([140.0, 150.0, 157.5, 165.0, 180.0])), [0, 0, 0.5, 1, 1], atol=1e-12
    )
    at = np.radians([90.0, 149.9])
    assert_allclose(
        np.array(set_coefficients(SETS["wing"], RIG, angle=at)),
        np.array(set_coefficients(SETS["kite"], RIG, angle=at)),
    )
    square = set_coefficients(SETS["wing"], RIG, angle=np.radians(170.0))
    assert_allclose(square.lift, 0.0, atol=1e-15)
    assert_allclose(square.parasitic_drag * 56.0, 1.20 * 14.0 + 1.00 * 42.0)


def test_dead_before_the_wind_the_wing_drives_more():
    assert drive(SETS["wing"], np.radians(175.0)) > 1.2 * drive(SETS["kite"], np.radians(175.0))


def test_build_wants_angle_and_then_gives_more():
    assert drive(SETS["build"], np.radians(16.0)) < drive(SETS["upwind"], np.radians(16.0))
    assert drive(SETS["build"], np.radians(35.0)) > drive(SETS["upwind"], np.radians(35.0))
    at = np.radians(28.0)
    build = set_coefficients(SETS["build"], RIG, angle=at)
    settled = set_coefficients(SETS["upwind"], RIG, angle=at)
    assert build.lift / build.drag < settled.lift / settled.drag


@given(st.floats(0.0, 0.2), st.floats(0.3, 3.0))
def test_more_sail_lift_is_more_lift(extra, angle):
    known = default_air_assumptions()
    more = replace(known, main_lift_factor=1.0 + extra)
    before = set_coefficients(SETS["main alone"], RIG, angle=angle)
    after = set_coefficients(SETS["main alone"], RIG, angle=angle, assumptions=more)
    assert_allclose(after.lift, before.lift * (1.0 + extra))


def test_scalar_grid_and_nan():
    curves = SailCurves(SETS["upwind"], RIG)
    assert np.ndim(curves.at(0.4).lift) == 0
    grid = curves.at(np.full((2, 3), 0.4))
    assert grid.lift.shape == (2, 3)
    assert np.isnan(curves.at(np.array([np.nan, 3.3])).drag).all()
    assert np.isnan(set_coefficients(SETS["upwind"], RIG, angle=np.nan).lift)


@pytest.mark.parametrize("degrees", [12.0, 25.0, 70.0])
def test_build_reads_the_lift_later_and_scales_both(degrees):
    build = set_coefficients(SailSet(MAIN, gear=Gear.BUILD), RIG, angle=np.radians(degrees))
    later = sail_coefficients("main_adjustable", np.radians(degrees - 1.5))
    here = sail_coefficients("main_adjustable", np.radians(degrees))
    assert_allclose(build.lift, 1.06 * later.lift)
    assert_allclose(build.parasitic_drag, 1.15 * here.drag)
    both = set_coefficients(SETS["build"], RIG, angle=np.radians(degrees))
    jib = sail_coefficients("jib_plain", np.radians(degrees - 1.5))
    assert_allclose(both.lift * 24.6, 14.0 * 1.06 * later.lift + 10.6 * 1.06 * jib.lift)
