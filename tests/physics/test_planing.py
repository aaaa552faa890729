"""The planing equations: parts, inverse functions, equilibrium."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.physics import planing

DEG = np.pi / 180


@pytest.fixture(scope="module")
def bottom(sportsboat, sea):
    return planing.planing_bottom_of(sportsboat, sea)


def test_bottom_takes_the_hull_over(bottom, sportsboat, sea):
    assert_allclose(bottom.weight, sea.weight(sportsboat.volume_canoe))
    assert (bottom.beam, bottom.lcg) == (1.75, 2.45)


@given(st.floats(1e-3, 2.0), st.floats(0.0, 0.4))
def test_flat_lift_is_the_inverse_of_deadrise_lift(lift, deadrise):
    assert_allclose(planing.deadrise_lift(planing.flat_lift_for(lift, deadrise), deadrise), lift, rtol=1e-9)


def test_deadrise_costs_lift():
    assert planing.deadrise_lift(0.1, 20 * DEG) < planing.deadrise_lift(0.1, 10 * DEG) < 0.1
    assert planing.deadrise_lift(0.1, 0.0) == 0.1


@given(st.floats(0.1, 4.0), st.floats(0.6, 13.0))
def test_centre_of_pressure_lies_between_its_limits(wetted, speed_coeff):
    share = planing.centre_of_pressure(wetted, speed_coeff)
    assert 0.75 - 1 / 2.39 < share < 0.75


def test_centre_of_pressure_as_printed():
    """The form used here is the printed one multiplied through by lambda squared."""
    printed = 0.75 - 1.0 / (5.21 * 2.0**2 / 1.5**2 + 2.39)
    assert_allclose(planing.centre_of_pressure(1.5, 2.0), printed)


def test_lift_grows_with_trim_and_wetted_length():
    assert np.all(np.diff(planing.flat_plate_lift(np.array([2, 4, 8]) * DEG, 2.0, 3.0)) > 0)
    assert np.all(np.diff(planing.flat_plate_lift(4 * DEG, [0.5, 1.0, 3.0], 3.0)) > 0)


def test_bottom_speed_is_a_little_below_boat_speed():
    ratio = planing.bottom_speed_ratio(np.array([2, 4, 6]) * DEG, 2.0, 12 * DEG)
    assert np.all((ratio > 0.9) & (ratio < 1.0))
    assert np.all(np.diff(ratio) < 0)


def test_short_form_puts_the_pressure_at_the_centre(bottom, sea):
    speed = np.linspace(4.0, 11.0, 15)
    state = planing.planing_short_form(bottom, sea, speed)
    coefficient = planing.speed_coefficient(speed, bottom.beam)
    arm = planing.centre_of_pressure(state.wetted_ratio, coefficient) * state.wetted_ratio * bottom.beam
    assert_allclose(arm, bottom.lcg, rtol=1e-9)
    lift = planing.deadrise_lift(
        planing.flat_plate_lift(state.trim, state.wetted_ratio, coefficient), bottom.deadrise
    )
    assert_allclose(lift * 0.5 * sea.density * speed**2 * bottom.beam**2, bottom.weight, rtol=1e-9)


def test_short_form_resistance_is_made_of_its_parts(bottom, sea):
    state = planing.planing_short_form(bottom, sea, 7.0)
    expected = bottom.weight * np.tan(state.trim) + state.friction / np.cos(state.trim)
    assert_allclose(state.resistance, expected)


def test_short_form_flags_low_speed_and_stays_finite(bottom, sea):
    state = planing.planing_short_form(bottom, sea, [0.0, 1.0, 7.0])
    assert state.in_range.tolist() == [False, False, True]
    assert np.isfinite(state.resistance).all()


def test_wetted_length_shortens_and_trim_has_one_hump(bottom, sea):
    state = planing.planing_short_form(bottom, sea, np.linspace(5.0, 11.0, 25))
    assert np.all(np.diff(state.wetted_ratio) < 0)
    rising = np.diff(state.trim) > 0
    assert rising[0]
    assert not rising[-1]
    assert np.count_nonzero(np.diff(rising)) == 1
    assert np.all(np.diff(planing.keel_wetted_length(bottom, state)) < 0.05)


def test_equilibrium_balances_lift_and_moment(bottom, sea):
    speed = np.array([6.0, 8.0, 10.0])
    state = planing.planing_equilibrium(bottom, sea, speed)
    moment = planing.pitching_moment(bottom, sea, speed, trim=state.trim)
    assert np.all(np.abs(moment) < 1e-6 * bottom.weight * bottom.beam)
    assert_allclose(state.wetted_ratio, planing.wetted_ratio_for_lift(bottom, sea, speed, trim=state.trim))


def test_equilibrium_close_to_the_short_form_without_arms(bottom, sea):
    speed = np.array([6.0, 8.0])
    full = planing.planing_equilibrium(bottom, sea, speed)
    short = planing.planing_short_form(bottom, sea, speed)
    assert_allclose(full.resistance, short.resistance, rtol=0.03)


def test_no_equilibrium_is_nan_and_flagged(bottom, sea):
    state = planing.planing_equilibrium(replace(bottom, lcg=40.0), sea, [8.0])
    assert np.isnan(state.resistance).all()
    assert not state.in_range.any()


def test_scalar_array_and_empty(bottom, sea):
    many = planing.planing_short_form(bottom, sea, [6.0, 7.0]).resistance
    assert_allclose(planing.planing_short_form(bottom, sea, 7.0).resistance, many[1])
    assert planing.planing_short_form(bottom, sea, []).resistance.shape == (0,)


def test_bad_bottoms_are_refused(bottom, sea):
    with pytest.raises(InputError, match="beam"):
        replace(bottom, beam=-1.0)
    with pytest.raises(OutOfRangeError, match="deadrise"):
        replace(bottom, deadrise=12.0)
    with pytest.raises(InputError, match="speed"):
        planing.planing_short_form(bottom, sea, -1.0)
