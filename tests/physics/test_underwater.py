"""The exact drag of the underwater body, and its tables."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.physics.foils import keel_residuary, profile_drag
from cringle.physics.hull_drag import upright_drag
from cringle.physics.hull_form import froude_number
from cringle.physics.underwater import hull_curves, speed_terms, underwater_drag


def test_heel_factors_kept_give_the_same_drag(curves):
    heel, speed = np.array([0.05, 0.2, 0.4]), np.array([2.0, 3.5, 5.0])
    assert_allclose(curves.drag(speed, curves.heel_factors(heel)), curves.drag(speed, heel), rtol=0.0)


def test_upright_is_the_sum_of_its_parts(body):
    speed = 2.5
    froude = froude_number(speed, body.hull.length_waterline)
    expected = (
        upright_drag(body.hull, body.water, speed).total
        + profile_drag(body.appendages, body.water, speed)
        + keel_residuary(body.hull, body.appendages.keel, body.water, froude)
    )
    assert_allclose(underwater_drag(body, speed, 0.0), expected)


def test_even_in_heel(body):
    heel = np.linspace(0.0, 0.6, 13)
    assert_allclose(underwater_drag(body, 3.0, heel), underwater_drag(body, 3.0, -heel))


def test_no_drag_at_rest_at_any_heel(body):
    assert_allclose(underwater_drag(body, 0.0, [0.0, 0.2, 0.5]), 0.0)


def test_planing_leaves_only_profile_drag_of_the_foils(body):
    terms = speed_terms(body, 9.0)
    assert terms.keel == 0.0
    assert terms.friction == 0.0
    expected = upright_drag(body.hull, body.water, 9.0).total + profile_drag(body.appendages, body.water, 9.0)
    assert_allclose(terms.upright, expected)


def test_much_heel_costs_in_the_hump(body):
    upright, heeled = underwater_drag(body, 3.8, np.array([0.0, 25.0]) * np.pi / 180)
    assert heeled > upright * 1.05


@given(st.floats(0.0, 12.0), st.floats(-0.7, 0.7))
def test_curves_agree_with_the_exact_functions(body, curves, speed, heel):
    assert_allclose(curves.drag(speed, heel), underwater_drag(body, speed, heel), atol=0.02)


def test_curves_agree_over_a_grid(body, curves):
    speed, heel = np.meshgrid(np.linspace(0, 12, 1777), np.linspace(-0.6, 0.6, 7))
    assert_allclose(curves.drag(speed, heel), underwater_drag(body, speed, heel), atol=0.02)


def test_finer_steps_come_closer(body):
    speed = np.linspace(2.0, 8.0, 997)
    exact = underwater_drag(body, speed, 0.2)
    errors = [np.abs(hull_curves(body, step=step).drag(speed, 0.2) - exact).max() for step in (0.05, 0.0125)]
    assert errors[1] < errors[0] / 6


def test_heel_table_equals_the_curves(curves):
    heels = np.linspace(-5, 30, 71) * np.pi / 180
    table = curves.at_heels(heels)
    index = np.arange(71)
    speed = np.random.default_rng(3).uniform(0, 12, (40, 71))
    assert_allclose(table.drag(speed, index), curves.drag(speed, heels), rtol=1e-12, atol=1e-9)


def test_slope_is_the_slope(curves):
    table = curves.at_heels([0.0, 0.2])
    speed, index, small = np.array([1.0012, 4.0023]), np.array([0, 1]), 1e-6
    drag, slope = table.drag_and_slope(speed, index)
    assert_allclose(drag, table.drag(speed, index))
    assert_allclose(slope, (table.drag(speed + small, index) - drag) / small, rtol=1e-4)


def test_above_the_top_speed_the_value_is_held(curves):
    assert_allclose(curves.top_speed, 12.0)
    assert_allclose(curves.drag([12.0, 15.0], 0.1), curves.drag(12.0, 0.1))
    table = curves.at_heels([0.1])
    assert_allclose(table.drag(np.array([30.0]), np.array([0])), curves.drag(12.0, 0.1))


@pytest.mark.parametrize(
    ("name", "speed"),
    [
        ("hull_drag_factor", 3.0),
        ("planing_drag_factor", 6.0),
        ("profile_drag_factor", 3.0),
        ("keel_wave_factor", 2.8),
    ],
)
def test_each_factor_raises_drag_upright(body, name, speed):
    more = replace(body, assumptions=replace(body.assumptions, **{name: 1.1}))
    assert underwater_drag(more, speed, 0.0) > underwater_drag(body, speed, 0.0)


def test_factors_act_where_they_should(body):
    planing = replace(body, assumptions=replace(body.assumptions, planing_drag_factor=1.3))
    assert_allclose(underwater_drag(planing, 3.0, 0.1), underwater_drag(body, 3.0, 0.1))
    heeled = replace(body, assumptions=replace(body.assumptions, heeled_drag_factor=1.3))
    assert_allclose(underwater_drag(heeled, 3.8, 0.0), underwater_drag(body, 3.8, 0.0))
    assert underwater_drag(heeled, 3.8, 0.3) > underwater_drag(body, 3.8, 0.3)
    hull = replace(body, assumptions=replace(body.assumptions, hull_drag_factor=1.2))
    bare = upright_drag(body.hull, body.water, 6.0).total
    assert_allclose(underwater_drag(hull, 6.0, 0.0) - underwater_drag(body, 6.0, 0.0), 0.2 * bare)


def test_bad_grids_are_refused(body):
    with pytest.raises(InputError, match="step"):
        hull_curves(body, step=0.0)
    with pytest.raises(OutOfRangeError, match="grid"):
        hull_curves(body, step=1e-9)


def test_negative_speed_is_refused(body):
    with pytest.raises(InputError, match="speed"):
        underwater_drag(body, -1.0, 0.0)


def test_nan_in_nan_out_and_empty(body):
    drag = underwater_drag(body, [np.nan, 3.0], 0.1)
    assert np.isnan(drag[0])
    assert np.isfinite(drag[1])
    assert underwater_drag(body, [], 0.0).shape == (0,)


def test_scalar_equals_array(body):
    many = underwater_drag(body, [2.0, 3.0, 7.0], [0.0, 0.2, 0.1])
    assert_allclose(underwater_drag(body, 3.0, 0.2), many[1])
