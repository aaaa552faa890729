"""Yaw balance: directions, sizes, limits."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.assumptions import default_air_assumptions
from cringle.physics.yaw import (
    AirLoad,
    YawGeometry,
    rudder_force,
    rudder_load_factor,
    turning_moment,
    yaw_balance,
)

BOAT = YawGeometry(3.0, 0.45, 0.1, 0.20, 3.5, 0.06, 1.1, 0.75)
AIR = AirLoad(320.0, 1150.0, 3.2, 3.9)
STATE = {"heel": np.radians(12.0), "leeway": np.radians(4.0), "boat_speed": 2.8}


def test_three_parts_by_hand():
    got = turning_moment(BOAT, AIR, **STATE)
    lead = -1150.0 * 0.2
    heeled = 320.0 * (3.9 + 0.45) * np.sin(np.radians(12.0))
    hull = 0.5 * 1025.0 * 0.75 * 2.8**2 * np.sin(np.radians(4.0)) * np.cos(np.radians(4.0))
    assert_allclose(got, lead + heeled + hull)


def test_rudder_and_helm_by_hand():
    got = yaw_balance(BOAT, AIR, **STATE)
    force = got.turning_moment / 2.9
    incidence = force / (0.5 * 1025.0 * 2.8**2 * 0.20 * 3.5)
    assert_allclose(got.rudder_angle, incidence - np.radians(4.0) * 0.5)
    assert_allclose(got.helm_load, force * 0.06 / 1.1)
    assert not got.stalled


@given(st.floats(-0.5, 0.5), st.floats(0.001, 0.3))
def test_more_heel_more_weather_helm(heel, more):
    state = STATE | {"heel": heel}
    steeper = STATE | {"heel": heel + more}
    assert yaw_balance(BOAT, AIR, **steeper).rudder_angle > yaw_balance(BOAT, AIR, **state).rudder_angle


@given(st.floats(0.01, 1.5))
def test_effort_further_aft_more_weather_helm(aft):
    back = replace(AIR, centre_forward=AIR.centre_forward - aft)
    assert yaw_balance(BOAT, back, **STATE).helm_load > yaw_balance(BOAT, AIR, **STATE).helm_load


def test_heel_to_windward_gives_lee_helm():
    state = STATE | {"heel": np.radians(-15.0), "leeway": 0.0}
    assert yaw_balance(BOAT, replace(AIR, centre_forward=3.0), **state).rudder_angle < 0.0


def test_balanced_boat_needs_no_rudder():
    state = {"heel": 0.0, "leeway": 0.0, "boat_speed": 3.0}
    got = yaw_balance(BOAT, replace(AIR, centre_forward=3.0), **state)
    assert_allclose(got[:3], 0.0, atol=1e-15)


def test_a_broach_is_called_stalled():
    got = yaw_balance(BOAT, AIR, heel=np.radians(45.0), leeway=0.1, boat_speed=np.array([1.5, 6.0]))
    assert got.stalled.tolist() == [True, False]


def test_hull_share_is_an_assumption():
    none = replace(default_air_assumptions(), hull_yaw_factor=0.0)
    assert turning_moment(BOAT, AIR, **STATE, assumptions=none) < turning_moment(BOAT, AIR, **STATE)


def test_at_rest_the_rudder_angle_is_unknown():
    got = yaw_balance(BOAT, AIR, heel=0.1, leeway=0.0, boat_speed=np.array([0.0, 2.0]))
    assert np.isnan(got.rudder_angle[0]) and np.isfinite(got.rudder_angle[1])


@pytest.mark.parametrize("wrong", [{"rudder_area": 0.0}, {"tiller_length": -1.0}, {"rudder_forward": 3.5}])
def test_an_impossible_rudder_is_refused(wrong):
    with pytest.raises(InputError, match="accepted"):
        replace(BOAT, **wrong)


def test_the_rudder_holds_the_moment_at_its_arm():
    assert_allclose(rudder_force(BOAT, 290.0), 100.0)


def test_a_rudder_as_deep_as_the_keel_costs_nothing_and_a_short_one_much():
    assert rudder_load_factor(1.3, 1.3) == 0.0
    assert_allclose(rudder_load_factor(1.3, 0.65), 3.0 / (np.pi * 1.3**2))


def test_fresh_water_turns_less():
    fresh = replace(BOAT, water_density=1000.0)
    hull = [turning_moment(one, replace(AIR, drive=0.0, side=0.0), **STATE) for one in (fresh, BOAT)]
    assert_allclose(hull[0] / hull[1], 1000.0 / 1025.0)
