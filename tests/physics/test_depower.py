"""Flattening, twist, feathering and reefing."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import OutOfRangeError
from cringle.physics.assumptions import default_air_assumptions
from cringle.physics.depower import (
    Depower,
    centre_height_factor,
    cheapest_twist,
    depowered,
    flat_and_reef,
    least_twist_penalty,
    twist_drag_factor,
)
from cringle.physics.sails import SetCoefficients, force_coefficients

FULL = SetCoefficients(1.4, 0.03, 0.03, 0.14, 3.9, 3.0)
SHARE = {"foretriangle_fraction": 0.9, "freeboard": 0.6}


def test_full_power_changes_nothing():
    got = depowered(FULL, Depower(), **SHARE)
    assert_allclose(got, (FULL.lift, FULL.drag, FULL.centre_height))


def test_by_hand():
    got = depowered(FULL, Depower(flat=0.8, twist=0.1, feather=0.25), **SHARE)
    assert_allclose(got.lift, 0.6 * 1.4)
    assert_allclose(got.drag, 0.03 + 0.36 * (0.03 + 0.14 * 1.12) + 0.03 * 0.25)
    assert_allclose(got.centre_height, 0.6 + 3.3 * 0.9 * (1 - 0.2 * 0.203 - 0.2 * 0.1 * 0.451))


@given(st.floats(0.3, 1.0), st.floats(0.3, 1.0))
def test_flatter_is_less_lift_less_drag_and_lower(one, other):
    flat, full = sorted((one, other))
    less, more = (depowered(FULL, Depower(flat=x), **SHARE) for x in (flat, full))
    assert less.lift <= more.lift and less.drag <= more.drag and less.centre_height <= more.centre_height


@given(st.floats(0.0, 0.3), st.floats(0.0, 0.3))
def test_twist_keeps_the_lift_lowers_the_centre_and_costs_drag(one, other):
    less, more = (depowered(FULL, Depower(twist=x), **SHARE) for x in sorted((one, other)))
    assert_allclose(less.lift, more.lift)
    assert more.drag >= less.drag and more.centre_height <= less.centre_height


def test_feathering_to_nothing_leaves_parasitic_and_shaking_drag():
    got = depowered(FULL, Depower(feather=1.0), **SHARE)
    assert_allclose((got.lift, got.drag), (0.0, 0.03 + 0.03), atol=1e-15)


def test_the_least_twist_penalty_is_eight_and_the_table_is_above_it():
    assert_allclose(least_twist_penalty(), 8.0, atol=1e-7)
    assert default_air_assumptions().twist_penalty > 8.0
    assert_allclose(twist_drag_factor(np.array([0.0, 0.1])), [1.0, 1.12])


def test_a_fractional_rig_falls_more():
    assert_allclose(centre_height_factor(np.array([1.0, 0.8, 0.6]), 0.9), [1.0, 0.9504, 0.9008], atol=5e-5)
    assert centre_height_factor(0.7, 0.8) < centre_height_factor(0.7, 1.0)


def test_the_cheapest_twist_is_the_best_of_a_sweep():
    angle = np.radians(28.0)
    moment = 0.8
    twists = np.linspace(0.0, 0.2, 401)
    scale = moment / (1.0 - twists)
    drag = FULL.parasitic_drag + scale**2 * (
        FULL.quadratic_drag + FULL.induced_drag * twist_drag_factor(twists)
    )
    sweep = force_coefficients(scale * FULL.lift, drag, angle)[0]
    got = cheapest_twist(FULL, Depower(flat=moment), angle=angle)
    assert_allclose(got, twists[sweep.argmax()], atol=6e-4)
    assert 0.05 < got < 0.195


def test_the_cheapest_twist_at_its_limits():
    assert cheapest_twist(FULL, Depower(), angle=0.5) == 0.0
    free = replace(default_air_assumptions(), twist_penalty=0.001)
    assert_allclose(cheapest_twist(FULL, Depower(flat=0.9), angle=0.5, assumptions=free), 0.1)


def test_reef_scales_area_and_height_but_not_the_windage():
    got = flat_and_reef(FULL, flat=0.8, reef=0.9, windage=0.1)
    assert_allclose(got.lift, 0.8 * 0.81 * 1.4)
    assert_allclose(got.drag, 0.81 * (0.03 + 0.64 * 0.17) + 0.1)
    assert_allclose(got.centre_height, 0.9 * 3.9)


def test_scalar_grid_and_nan():
    assert np.ndim(depowered(FULL, Depower(flat=0.7), **SHARE).lift) == 0
    grid = depowered(FULL, Depower(flat=np.linspace(0.4, 1.0, 4)[:, None], twist=np.zeros(3)), **SHARE)
    assert grid.drag.shape == (4, 3)
    assert np.isnan(depowered(FULL, Depower(flat=np.nan), **SHARE).drag)


@pytest.mark.parametrize(
    "wrong", [{"flat": 1.2}, {"flat": 0.1}, {"twist": -0.1}, {"twist": 0.5}, {"feather": 1.1}]
)
def test_impossible_depowering_is_refused(wrong):
    with pytest.raises(OutOfRangeError, match="accepted"):
        Depower(**wrong)
