"""Righting moment of hull, ballast and people."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError, OutOfRangeError
from cringle.physics import stability
from cringle.physics.stability import Buoyancy, Mass

DEG = np.pi / 180
BOAT = (Mass(260, -1.25), Mass(70, -0.70), Mass(470, 0.45))
BUOYANCY = Buoyancy(-0.08, 1.85)


def test_box_has_half_its_draft_as_centre():
    assert_allclose(stability.centre_of_buoyancy_height(0.4, 1.0, 1.0), 0.2)


def test_buoyancy_of_a_hull(sportsboat):
    bare = stability.buoyancy_of(sportsboat)
    assert_allclose(bare.metacentric_radius, 1.990 / 1.08, rtol=2e-3)
    assert -sportsboat.draft_canoe < bare.centre_height < 0
    keeled = stability.buoyancy_of(sportsboat, appendage_volume=0.045, appendage_depth=1.0)
    assert keeled.centre_height < bare.centre_height
    assert_allclose(keeled.metacentric_radius * (1.08 + 0.045), bare.metacentric_radius * 1.08)


def test_combined_masses():
    whole = stability.combined((Mass(100, 1.0, 0.5), Mass(300, -1.0, 0.0)))
    assert (whole.mass, whole.height, whole.off_centre) == (400, -0.5, 0.125)
    with pytest.raises(InputError, match="no masses"):
        stability.combined(())
    with pytest.raises(InputError, match="mass"):
        Mass(-80.0, 1.0)


@given(st.floats(-0.6, 0.6))
def test_arm_is_odd(heel):
    assert_allclose(
        stability.righting_arm(1.6, 1.8, heel), -stability.righting_arm(1.6, 1.8, -heel), atol=1e-12
    )


def test_arm_of_a_wall_sided_box_by_direct_integration():
    """A box of beam 2 and draft 0.5, heeled 10 deg about its waterline: centroid of the immersed section."""
    beam, draft, heel = 2.0, 0.5, 10 * DEG
    across = np.linspace(-beam / 2, beam / 2, 40_001)
    depth = draft - across * np.tan(heel)
    area = np.trapezoid(depth, across)
    y = np.trapezoid(across * depth, across) / area
    z = np.trapezoid((depth / 2 - draft) * 1.0 * depth + 0.0, across) / area
    keel_height = z + draft
    # Arm about the keel point: horizontal distance of the centroid in the heeled frame, towards the low side.
    arm_about_keel = -y * np.cos(heel) + keel_height * np.sin(heel)
    radius = beam**2 / 12 / draft
    height_of_metacentre_over_keel = draft / 2 + radius
    assert_allclose(
        stability.righting_arm(height_of_metacentre_over_keel, radius, heel), arm_about_keel, rtol=1e-6
    )


def test_form_term_is_held_beyond_fifteen_degrees():
    at, beyond = stability.righting_arm(0.0, 2.0, np.array([15.0, 30.0]) * DEG)
    assert_allclose(beyond / np.sin(30 * DEG), at / np.sin(15 * DEG))


def test_arm_has_no_step():
    arm = stability.righting_arm(1.6, 1.8, np.linspace(-0.7, 0.7, 14001))
    assert np.abs(np.diff(arm)).max() < 3e-4


def test_whole_moment_is_independent_of_how_masses_are_grouped():
    crew = (Mass(80, 0.95, 1.1), Mass(80, 0.9, 0.4), Mass(75, 1.0, -0.2))
    heel = np.linspace(-0.3, 0.4, 15)
    whole = stability.righting_moment(BUOYANCY, BOAT + crew, heel)
    one_by_one = stability.buoyancy_moment(BUOYANCY, sum(m.mass for m in BOAT + crew), heel) + sum(
        stability.mass_moment(m.mass, height=m.height, off_centre=m.off_centre, heel=heel)
        for m in BOAT + crew
    )
    assert_allclose(whole, one_by_one)


def test_whole_moment_is_the_textbook_form_with_crew_on_the_centreline():
    masses = (*BOAT, Mass(320, 0.95))
    heel = 8 * DEG
    whole = stability.combined(masses)
    height = stability.metacentric_height(BUOYANCY, whole.height)
    expected = whole.mass * STANDARD_GRAVITY_M_PER_S2 * stability.righting_arm(height, 1.85, heel)
    assert_allclose(stability.righting_moment(BUOYANCY, masses, heel), expected)


@given(st.floats(40.0, 130.0), st.floats(0.0, 1.4), st.floats(0.0, 0.5))
def test_more_weight_to_windward_more_moment(mass, place, heel):
    one = stability.person_moment(mass, off_centre=place + 0.1, heel=heel)
    assert one > stability.person_moment(mass, off_centre=place, heel=heel)


def test_height_costs_when_heeled_only():
    assert_allclose(
        stability.person_moment(80.0, off_centre=1.0, height=2.0),
        stability.person_moment(80.0, off_centre=1.0),
    )
    heeled = stability.person_moment(80.0, off_centre=1.0, height=1.0, heel=0.2)
    assert heeled < stability.person_moment(80.0, off_centre=1.0, heel=0.2)


def test_person_moment_broadcasts():
    moment = stability.person_moment(np.array([[80.0], [60.0]]), off_centre=[0.4, 1.1, 1.3])
    assert moment.shape == (2, 3)
    assert_allclose(moment[0, 1], 80 * 1.1 * STANDARD_GRAVITY_M_PER_S2)


def test_slope_matches_a_small_heel():
    masses = (*BOAT, Mass(320, 0.95))
    assert_allclose(
        stability.moment_per_degree(BUOYANCY, masses),
        stability.righting_moment(BUOYANCY, masses, DEG),
        rtol=1e-3,
    )


@pytest.mark.parametrize("bad", [0.2, 1.2, float("nan")])
def test_waterplane_out_of_range(bad):
    with pytest.raises(OutOfRangeError, match="waterplane_coefficient"):
        stability.waterplane_inertia(6.4, 1.9, bad)


def test_negative_sizes_are_refused():
    with pytest.raises(InputError, match="beam"):
        stability.waterplane_inertia(6.4, -1.9, 0.7)
    with pytest.raises(InputError, match="volume"):
        stability.metacentric_radius(2.0, 0.0)
    with pytest.raises(InputError, match="draft"):
        stability.centre_of_buoyancy_height(0.0, 0.4, 0.7)
