"""The air side as one chain: true wind -> heeled apparent wind -> set -> depowering -> forces."""

import doctest
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics import wind as wind_module
from cringle.physics.assumptions import air_assumption_rows, drawn_air_assumptions
from cringle.physics.depower import Depower, depowered
from cringle.physics.sail_sum import SailCurves, set_coefficients
from cringle.physics.sails import Arrangement, Gear, RigGeometry, Sail, SailSet, sail_forces
from cringle.physics.wind import apparent_wind, heeled_wind

MAIN = Sail("main", 14.0, 4.05, 2.2)
JIB = Sail("jib", 10.6, 3.55, 4.4)
KITE = Sail("kite", 42.0, 5.1, 5.5)
RIG = RigGeometry(9.0, 0.62, 7.9, 2.9, 0.95, 7.9)
UPWIND = SailSet(MAIN, JIB)
RUN = SailSet(MAIN, kite=KITE)
WING = replace(RUN, arrangement=Arrangement.WING)
UPWIND_CURVES = SailCurves(UPWIND, RIG)
FULL_POWER = Depower()


def forces(curves, true_wind_speed, *, true_wind_angle, boat_speed=2.5, heel=0.0, depower=FULL_POWER):
    """Return the forces of a set and the height they act at."""
    felt = apparent_wind(true_wind_speed, true_wind_angle, boat_speed=boat_speed)
    plane = heeled_wind(felt.speed, felt.angle, heel=heel)
    less = depowered(
        curves.at(plane.angle),
        depower,
        foretriangle_fraction=curves.rig.foretriangle_fraction,
        freeboard=curves.rig.freeboard,
        assumptions=curves.assumptions,
    )
    force = sail_forces(less.lift, less.drag, wind=plane, area=curves.sails.area, heel=heel)
    return force, less.centre_height


@given(st.floats(1.0, 15.0), st.floats(0.0, np.pi), st.floats(0.0, 6.0), st.floats(0.0, 0.6))
def test_both_tacks_alike(speed, angle, boat_speed, heel):
    state = {"boat_speed": boat_speed, "heel": heel}
    starboard, height = forces(UPWIND_CURVES, speed, true_wind_angle=angle, **state)
    port, same = forces(UPWIND_CURVES, speed, true_wind_angle=-angle, **state)
    assert_allclose(port, starboard, rtol=1e-9, atol=1e-9)
    assert_allclose(same, height)


@given(st.floats(1.0, 12.0), st.floats(0.5, 3.1), st.floats(1.1, 2.0))
def test_forces_grow_with_the_square_of_all_speeds(speed, angle, factor):
    one, _ = forces(UPWIND_CURVES, speed, true_wind_angle=angle, boat_speed=2.0)
    other, _ = forces(UPWIND_CURVES, speed * factor, true_wind_angle=angle, boat_speed=2.0 * factor)
    assert_allclose(other, np.array(one) * factor**2, rtol=1e-6, atol=1e-6)


def test_no_wind_no_boat_speed_no_force():
    force, _ = forces(UPWIND_CURVES, 0.0, true_wind_angle=0.8, boat_speed=0.0)
    assert_allclose(force, 0.0, atol=1e-12)


def test_motoring_in_a_calm_the_rig_only_drags():
    force, _ = forces(UPWIND_CURVES, 0.0, true_wind_angle=0.8, boat_speed=3.0)
    assert force.drive < 0.0
    assert abs(force.side) < 1e-9 + abs(force.drive)


@pytest.mark.parametrize("angle_deg", [38.0, 45.0, 60.0, 90.0])
def test_heel_takes_drive_and_heeling_moment(angle_deg):
    heel = np.radians(np.arange(0.0, 41.0, 5.0))
    force, _ = forces(UPWIND_CURVES, 5.5, true_wind_angle=np.radians(angle_deg), heel=heel)
    assert (np.diff(force.drive) < 0.0).all()
    assert (np.diff(force.side) < 0.0).all()


def test_more_sail_more_drive_in_light_air():
    for angle in np.radians([45.0, 90.0, 140.0]):
        small, _ = forces(SailCurves(SailSet(MAIN), RIG), 3.0, true_wind_angle=angle)
        large, _ = forces(UPWIND_CURVES, 3.0, true_wind_angle=angle)
        assert large.drive > small.drive


def test_depowering_takes_moment_faster_than_drive():
    state = {"true_wind_angle": np.radians(42.0), "heel": np.radians(12.0)}
    full, high = forces(UPWIND_CURVES, 8.0, **state)
    for less in (Depower(flat=0.8), Depower(twist=0.15), Depower(flat=0.85, twist=0.1), Depower(feather=0.1)):
        part, low = forces(UPWIND_CURVES, 8.0, depower=less, **state)
        assert part.heeling * low / (full.heeling * high) < part.drive / full.drive


def test_the_kite_beats_the_jib_before_the_wind_and_the_wing_the_kite_dead_before_it():
    run, wing = SailCurves(RUN, RIG), SailCurves(WING, RIG)
    reach = np.radians(140.0)
    assert (
        forces(run, 5.0, true_wind_angle=reach)[0].drive
        > 2.0 * forces(UPWIND_CURVES, 5.0, true_wind_angle=reach)[0].drive
    )
    square = np.radians(176.0)
    assert (
        forces(wing, 5.0, true_wind_angle=square)[0].drive > forces(run, 5.0, true_wind_angle=square)[0].drive
    )


@pytest.mark.parametrize("seed", range(8))
def test_every_member_of_an_ensemble_is_sound(seed):
    scores = np.random.default_rng(seed).standard_normal(len(air_assumption_rows()))
    known = drawn_air_assumptions(scores)
    at = np.linspace(0.0, np.pi, 181)
    for sails in (UPWIND, replace(UPWIND, gear=Gear.BUILD), RUN, SailSet(MAIN, JIB, KITE), WING):
        exact = np.array(set_coefficients(sails, RIG, angle=at, assumptions=known))
        assert np.isfinite(exact).all()
        assert (exact[1:4] >= 0.0).all()
        fast = np.array(SailCurves(sails, RIG, known).at(at))
        assert_allclose(fast[:, 4:], exact[:, 4:], rtol=2e-4, atol=1e-4)
    upright, _ = forces(SailCurves(UPWIND, RIG, known), 6.0, true_wind_angle=np.radians(42.0))
    assert upright.drive > 0.0


def test_two_members_differ_and_the_same_scores_agree():
    scores = np.random.default_rng(1).standard_normal(len(air_assumption_rows()))
    one, again = (SailCurves(UPWIND, RIG, drawn_air_assumptions(scores)) for _ in range(2))
    assert_allclose(one.curves.values, again.curves.values, rtol=0.0)
    assert np.abs(one.curves.values - UPWIND_CURVES.curves.values).max() > 1e-3


def test_arguments_are_left_alone():
    speed, angle, heel = np.full(5, 6.0), np.linspace(0.5, 3.0, 5), np.full(5, 0.2)
    before = [speed.copy(), angle.copy(), heel.copy()]
    forces(UPWIND_CURVES, speed, true_wind_angle=angle, heel=heel)
    for now, then in zip((speed, angle, heel), before, strict=True):
        assert_allclose(now, then, rtol=0.0)


def test_a_whole_grid_equals_its_cells():
    rng = np.random.default_rng(3)
    speed, angle, heel = rng.uniform(2.0, 12.0, 20), rng.uniform(0.5, 3.1, 20), rng.uniform(0.0, 0.5, 20)
    grid, _ = forces(UPWIND_CURVES, speed, true_wind_angle=angle, heel=heel)
    for i in range(20):
        cell, _ = forces(UPWIND_CURVES, float(speed[i]), true_wind_angle=float(angle[i]), heel=float(heel[i]))
        assert_allclose([part[i] for part in grid], cell, rtol=1e-12)


def test_the_examples_in_the_docstrings_hold():
    assert doctest.testmod(wind_module).failed == 0
