"""Friction lines, form factors, wetted area."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import friction


def test_reynolds_and_hull_friction_of_the_worked_case(sportsboat, sea):
    assert_allclose(friction.reynolds_number(3.0, 0.7 * 6.4, sea), 1.129e7, rtol=2e-3)
    assert_allclose(friction.hull_friction(sportsboat, sea, 3.0), 118.9, rtol=2e-3)


def test_friction_at_rest_is_zero_and_finite(sportsboat, sea):
    assert friction.hull_friction(sportsboat, sea, 0.0) == 0.0
    assert np.isfinite(friction.ittc_friction_coefficient([0.0, 1.0, 100.0])).all()


@given(st.floats(5e5, 1e10), st.floats(1.001, 10.0))
def test_lines_fall_with_reynolds(reynolds, factor):
    for line in (friction.ittc_friction_coefficient, friction.schoenherr_friction_coefficient):
        low, high = line([reynolds, reynolds * factor])
        assert high < low


@given(st.floats(1e6, 1e10))
def test_schoenherr_solves_its_own_equation(reynolds):
    coefficient = friction.schoenherr_friction_coefficient(reynolds)
    assert_allclose(0.242 / np.sqrt(coefficient), np.log10(reynolds * coefficient), rtol=1e-10)


def test_two_lines_agree_at_ship_scale():
    reynolds = np.logspace(7, 9, 9)
    ratio = friction.ittc_friction_coefficient(reynolds) / friction.schoenherr_friction_coefficient(reynolds)
    assert_allclose(ratio, 1.0, atol=0.03)


def test_friction_is_quadratic_in_speed_at_a_fixed_coefficient(sea):
    one, two = friction.frictional_resistance([1.0, 2.0], 5.0, 0.003, sea)
    assert_allclose(two, 4 * one)
    assert_allclose(one, 0.5 * 1025 * 5 * 0.003)


def test_negative_area_is_refused(sea):
    with pytest.raises(InputError, match="wetted area"):
        friction.frictional_resistance(1.0, -5.0, 0.003, sea)


def test_roughness_adds(sportsboat, sea):
    smooth = friction.hull_friction(sportsboat, sea, [2.0, 5.0])
    rough = friction.hull_friction(sportsboat, sea, [2.0, 5.0], roughness=2e-4)
    area = friction.canoe_wetted_area(sportsboat)
    assert_allclose(rough - smooth, 0.5 * 1025 * np.array([4.0, 25.0]) * area * 2e-4)


def test_form_factors_start_at_one_and_rise():
    assert friction.fin_form_factor(0.0) == 1.0
    assert friction.bulb_form_factor(0.0) == 1.0
    assert friction.fin_form_factor(0.15) > friction.fin_form_factor(0.10)
    with pytest.raises(InputError, match="thickness_ratio"):
        friction.fin_form_factor(0.9)
    with pytest.raises(InputError, match="fineness"):
        friction.bulb_form_factor(-0.1)


def test_wetted_area_scales_with_the_square(sportsboat):
    area = friction.canoe_wetted_area(sportsboat)
    doubled = replace(
        sportsboat,
        length_waterline=12.8,
        beam_waterline=3.8,
        draft_canoe=0.43,
        volume_canoe=8.64,
        area_waterplane=34.5,
    )
    assert_allclose(friction.canoe_wetted_area(doubled), 4 * area)


def test_heeled_area_is_even_continuous_and_held(sportsboat):
    degrees = np.pi / 180
    heel = np.linspace(-50, 50, 1001) * degrees
    change = friction.heeled_area_change(sportsboat, heel)
    assert_allclose(change, change[::-1], atol=1e-12)
    assert friction.heeled_area_change(sportsboat, 0.0) == 0.0
    assert np.abs(np.diff(change)).max() < 0.002
    assert_allclose(change[0], friction.heeled_area_change(sportsboat, 35 * degrees))


def test_heeled_area_rows(sportsboat, series_parent):
    heel = np.arange(5, 36, 5) * np.pi / 180
    expected = [-1.07, -5.26, -9.34, -13.31, -16.47, -19.05, -20.60]
    assert_allclose(100 * friction.heeled_area_change(sportsboat, heel), expected, atol=0.02)
    expected = [-0.24, -0.63, -0.94, -1.21, -1.52, -1.75, -2.15]
    assert_allclose(100 * friction.heeled_area_change(series_parent, heel), expected, atol=0.02)
