from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.lanes import LanePolar
from cringle.speed.lanes_shift import OVERSTOOD_M, layline, wind_shift

ANGLE = np.arange(30.0, 181.0, 1.0)
# best made good exactly at 45 up and 135 down, 6 kn there
SPEED = 6.0 / np.maximum(np.abs(np.cos(np.radians(ANGLE))), 0.2) * np.cos(np.radians(45.0)) - 0.004 * (
    np.minimum(np.abs(ANGLE - 45.0), np.abs(ANGLE - 135.0)) ** 2
)
POLAR = LanePolar(10.0, ANGLE, SPEED, np.full(ANGLE.size, 0.6))


def test_the_polar_of_these_tests_has_its_targets_where_it_says():
    assert POLAR.target_deg("up") == 45.0
    assert POLAR.target_deg("down") == 135.0


def test_a_shift_toward_a_boat_lifts_it():
    found = wind_shift(POLAR, point="up", right_m=100.0, ahead_m=0.0, shift_deg=10.0)
    assert_allclose(found.gain_m, 100.0 * math.sin(math.radians(10.0)))
    assert wind_shift(POLAR, point="up", right_m=-100.0, ahead_m=0.0, shift_deg=10.0).gain_m < 0.0


def test_on_the_run_the_boat_away_from_the_shift_gains():
    found = wind_shift(POLAR, point="down", right_m=100.0, ahead_m=0.0, shift_deg=10.0)
    assert_allclose(found.gain_m, -100.0 * math.sin(math.radians(10.0)))


@given(
    right=st.floats(-500.0, 500.0).filter(lambda x: abs(x) > 1.0),
    ahead=st.floats(-300.0, 300.0),
    point=st.sampled_from(["up", "down"]),
)
def test_at_the_break_even_shift_the_boats_are_even(right, ahead, point):
    found = wind_shift(POLAR, point=point, right_m=right, ahead_m=ahead, shift_deg=5.0)
    if abs(found.break_even) > 59.0:
        return
    even = wind_shift(POLAR, point=point, right_m=right, ahead_m=ahead, shift_deg=found.break_even)
    assert_allclose(dict(even.numbers)["ahead_after_m"], 0.0, atol=1e-6)


def test_the_gain_of_one_boat_is_the_loss_of_the_other():
    one = wind_shift(POLAR, point="up", right_m=150.0, ahead_m=30.0, shift_deg=-7.0)
    other = wind_shift(POLAR, point="up", right_m=-150.0, ahead_m=-30.0, shift_deg=-7.0)
    assert_allclose(one.gain_m, -other.gain_m)


def test_no_shift_changes_nothing():
    assert wind_shift(POLAR, point="up", right_m=50.0, ahead_m=20.0, shift_deg=0.0).gain_m == 0.0


@pytest.mark.parametrize("bad", [{"shift_deg": 90.0}, {"right_m": 1e6}, {"right_m": 0.0, "ahead_m": 0.0}])
def test_impossible_shifts_and_places_are_refused(bad):
    with pytest.raises(InputError):
        wind_shift(POLAR, **{"point": "up", "right_m": 10.0, "ahead_m": 0.0, "shift_deg": 5.0, **bad})


def test_a_mark_straight_ahead_needs_two_equal_boards():
    told = dict(layline(POLAR, point="up", mark_right_m=0.0, mark_ahead_m=600.0).numbers)
    assert_allclose(told["layline_m"], 600.0 / math.sqrt(2.0))
    assert_allclose(told["mark_m"], 600.0 * math.sqrt(2.0))


@pytest.mark.parametrize("point", ["up", "down"])
@pytest.mark.parametrize("right", [-300.0, -50.0, 120.0, 599.0])
def test_the_boards_end_at_the_mark(point, right):
    track = layline(POLAR, point=point, mark_right_m=right, mark_ahead_m=600.0).tracks[0]
    end = 600.0 if point == "up" else -600.0
    assert_allclose((track.across_m[-1], track.up_m[-1]), (right, end), atol=1e-6)


def test_overstanding_costs_its_own_width_at_45_degrees():
    found = layline(POLAR, point="up", mark_right_m=0.0, mark_ahead_m=600.0)
    told = dict(found.numbers)
    speed = told["speed_kn"] * 1852 / 3600
    assert_allclose(told["overstood_cost_s"] * speed, OVERSTOOD_M)
    assert_allclose(found.gain_m, -OVERSTOOD_M * math.cos(math.radians(45.0)))


def test_outside_the_laylines_and_behind_is_refused():
    with pytest.raises(InputError, match="outside the layline"):
        layline(POLAR, point="up", mark_right_m=700.0, mark_ahead_m=600.0)
    with pytest.raises(OutOfRangeError, match="distance to the mark"):
        layline(POLAR, point="up", mark_right_m=0.0, mark_ahead_m=-5.0)
