"""Side force, leeway, stall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import leeway

DEG = np.pi / 180


def test_lift_slope_limits_and_sweep():
    assert leeway.lift_slope(0.0) == 0.0
    assert np.all(np.diff(leeway.lift_slope(np.linspace(0.1, 20, 50))) > 0)
    assert leeway.lift_slope(1e6) < 2 * np.pi
    assert leeway.lift_slope(6.0, sweep=30 * DEG) < leeway.lift_slope(6.0)
    with pytest.raises(InputError, match="aspect_ratio"):
        leeway.lift_slope(-1.0)


def test_no_leeway_upright_no_force(lateral_plane, sea):
    force = leeway.side_force(lateral_plane, sea, [0.0, 3.0], leeway=0.0)
    assert_allclose(force.total, 0.0)
    assert not force.stalled.any()


@given(st.floats(-0.15, 0.15), st.floats(-0.5, 0.5), st.floats(0.1, 6.0))
def test_other_tack_is_the_mirror(lateral_plane, sea, angle, heel, speed):
    one = leeway.side_force(lateral_plane, sea, speed, leeway=angle, heel=heel)
    other = leeway.side_force(lateral_plane, sea, speed, leeway=-angle, heel=-heel)
    assert_allclose(one.total, -other.total, rtol=1e-12, atol=1e-12)


@given(st.floats(0.0, 1200.0), st.floats(-0.4, 0.4), st.floats(2.5, 6.0))
def test_leeway_is_the_inverse_of_side_force(lateral_plane, sea, force, heel, speed):
    found = leeway.leeway_for_side_force(lateral_plane, sea, speed, force=force, heel=heel)
    assert not found.stalled
    back = leeway.side_force(lateral_plane, sea, speed, leeway=found.angle, heel=heel)
    assert_allclose(back.total, force, rtol=1e-9, atol=1e-6)


def test_leeway_falls_with_speed_and_rises_with_heel(lateral_plane, sea):
    by_speed = leeway.leeway_for_side_force(lateral_plane, sea, [2.0, 3.0, 5.0], force=800.0).angle
    assert np.all(np.diff(by_speed) < 0)
    by_heel = leeway.leeway_for_side_force(
        lateral_plane, sea, 3.0, force=800.0, heel=np.array([0, 10, 20]) * DEG
    ).angle
    assert np.all(np.diff(by_heel) > 0)


def test_stall_caps_lift_and_is_told(lateral_plane, sea):
    gentle, hard = (leeway.side_force(lateral_plane, sea, 3.0, leeway=angle * DEG) for angle in (5.0, 40.0))
    assert not gentle.stalled
    assert hard.stalled
    limit = lateral_plane.assumptions.stall_lift_coefficient
    keel = lateral_plane.appendages.keel
    assert_allclose(hard.keel, 0.5 * 1025 * 9 * keel.area_to_waterline * limit)


def test_more_force_than_the_foils_have_is_flagged_not_silent(lateral_plane, sea):
    most = leeway.largest_side_force(lateral_plane, sea, 2.0)
    below, above = (
        leeway.leeway_for_side_force(lateral_plane, sea, 2.0, force=most * f) for f in (0.999, 1.001)
    )
    assert not below.stalled
    assert above.stalled
    assert_allclose(above.angle, below.angle, rtol=2e-3)


def test_at_rest_any_force_stalls(lateral_plane, sea):
    found = leeway.leeway_for_side_force(lateral_plane, sea, 0.0, force=[0.0, 1.0])
    assert found.stalled.tolist() == [False, True]
    assert np.isfinite(found.angle).all()


def test_weather_helm_moves_load_to_the_rudder(lateral_plane, sea):
    plain = leeway.side_force(lateral_plane, sea, 3.0, leeway=3 * DEG)
    helm = leeway.side_force(lateral_plane, sea, 3.0, leeway=3 * DEG, rudder_angle=2 * DEG)
    assert helm.rudder > plain.rudder
    assert helm.keel == plain.keel


def test_slope_upright(lateral_plane, sea):
    slope = leeway.force_area_slope(lateral_plane)
    force = leeway.side_force(lateral_plane, sea, 3.0, leeway=1 * DEG).total
    assert_allclose(force, 0.5 * 1025 * 9 * slope * DEG)
    keel_part = lateral_plane.appendages.keel.area_to_waterline * leeway.foil_lift_slope(
        lateral_plane.appendages.keel
    )
    assert_allclose(keel_part, 2.93, atol=0.005)


def test_carry_over_is_near_the_extended_keel(lateral_plane):
    keel = lateral_plane.appendages.keel
    other = leeway.carry_over_area_slope(keel, 0.215)
    assert_allclose(other, 3.12, atol=0.03)
    with pytest.raises(InputError, match="canoe_draft"):
        leeway.carry_over_area_slope(keel, 0.0)


def test_heel_takes_lift_evenly_and_never_all(lateral_plane):
    share = leeway.heel_lift_share(lateral_plane, np.array([-0.3, 0.0, 0.3, 3.0]))
    assert share[0] == share[2] < share[1] == 1.0
    assert share[3] == leeway.LOWEST_HEEL_SHARE


def test_assumptions_change_the_answer(lateral_plane, sea):
    no_wake = replace(lateral_plane, assumptions=replace(lateral_plane.assumptions, rudder_wake=1.0))
    more = leeway.side_force(no_wake, sea, 3.0, leeway=3 * DEG).rudder
    assert_allclose(more / leeway.side_force(lateral_plane, sea, 3.0, leeway=3 * DEG).rudder, 1 / 0.81)


def test_1998_form_overpredicts_for_a_narrow_keel(sportsboat, lateral_plane, sea):
    old = leeway.side_force_1998(sportsboat, 1.5, sea, 3.0, leeway=4 * DEG)
    new = leeway.side_force(lateral_plane, sea, 3.0, leeway=4 * DEG).total
    assert_allclose(old, 2814.0, rtol=2e-3)
    assert 2.3 < old / new < 2.6


def test_1998_bracket_rows():
    got = leeway.side_force_bracket(2.13**2 / 25.4, 0.79 / 2.13, np.array([0, 10, 20, 30]) * DEG)
    assert_allclose(got, [0.465, 0.439, 0.393, 0.308], atol=1e-3)


def test_shapes(lateral_plane, sea):
    force = leeway.side_force(lateral_plane, sea, np.ones((4, 1)), leeway=np.zeros(3), heel=0.1)
    assert force.total.shape == (4, 3)
    assert leeway.leeway_for_side_force(
        lateral_plane, sea, np.ones((4, 1)), force=np.ones(3)
    ).angle.shape == (4, 3)


def test_bad_planes_are_refused(lateral_plane, sea):
    with pytest.raises(InputError, match="beam_draft"):
        replace(lateral_plane, beam_draft=0.0)
    with pytest.raises(InputError, match="speed"):
        leeway.side_force(lateral_plane, sea, -1.0, leeway=0.1)
