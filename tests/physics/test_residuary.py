"""Residuary resistance: limits, clamping, flags, heel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import residuary


def test_zero_up_to_a_tenth_and_never_negative(sportsboat, series_parent):
    froude = np.linspace(0.0, 0.60, 601)
    for hull in (sportsboat, series_parent):
        for method in (residuary.residuary_1998, residuary.residuary_2008):
            value = method(hull, froude)
            assert_allclose(value[froude <= 0.1], 0.0, atol=1e-15)
            assert np.all(value >= 0.0)


def test_curves_pass_through_the_rows(sportsboat):
    ratios = residuary.shape_ratios(sportsboat)
    for rows, method, highest in (
        (residuary.rows_1998, residuary.residuary_1998, 0.60),
        (residuary.rows_2008, residuary.residuary_2008, 0.70),
    ):
        froude, values = rows(ratios)
        used = (froude > 0.101) & (froude < highest + 1e-9)
        assert_allclose(method(sportsboat, froude[used]), values[used], rtol=1e-12)


def test_beyond_their_range_the_methods_give_nan(sportsboat):
    assert np.isnan(residuary.residuary_1998(sportsboat, 0.61))
    assert np.isfinite(residuary.residuary_2008(sportsboat, 0.69))
    assert np.isnan(residuary.residuary_2008(sportsboat, 0.71))


def test_mean_is_the_mean_and_flags_what_it_holds(sportsboat):
    froude = np.array([0.2, 0.45, 0.60, 0.61, 1.0])
    mean = residuary.residuary_mean(sportsboat, froude)
    first, second = (m(sportsboat, froude[:3]) for m in (residuary.residuary_1998, residuary.residuary_2008))
    assert_allclose(mean.coefficient[:3], (first + second) / 2)
    assert_allclose(mean.half_difference[:3], np.abs(first - second) / 2)
    assert mean.in_range.tolist() == [True, True, True, False, False]
    assert_allclose(mean.coefficient[3:], mean.coefficient[2])


def test_monotone_for_both_reference_hulls(sportsboat, series_parent):
    for hull in (sportsboat, series_parent):
        assert np.all(np.diff(residuary.residuary_mean(hull, np.linspace(0.2, 0.6, 401)).coefficient) > 0)


@given(st.floats(6, 11), st.floats(3.0, 3.7), st.floats(5.6, 6.6), st.floats(0.64, 0.79))
def test_light_beamy_hulls_have_positive_rising_resistance(
    sportsboat, beam_draft, length_beam, slenderness, cm
):
    ratios = replace(
        residuary.shape_ratios(sportsboat),
        beam_draft=beam_draft,
        length_beam=length_beam,
        slenderness=slenderness,
        cm=cm,
        loading=0.70 / length_beam * slenderness**2,
    )
    for rows, lowest in ((residuary.rows_1998, 0.195), (residuary.rows_2008, 0.195)):
        froude, values = rows(ratios)
        used = values[(froude > lowest) & (froude < 0.605)]
        assert np.all(used > 0)
        assert np.all(np.diff(used) > 0)


def test_hulls_of_the_series_need_no_note(sportsboat, series_parent):
    assert residuary.series_range_notes(sportsboat) == ()
    assert residuary.series_range_notes(series_parent) == ()


def test_clamping_is_told_and_holds_the_value(sportsboat):
    outside = replace(sportsboat, cm=0.95)
    notes = residuary.series_range_notes(outside)
    assert [note.name for note in notes] == ["cm"]
    assert residuary.clamped_ratios(outside).cm == 0.79
    at_limit = replace(sportsboat, cm=0.79)
    got = residuary.rows_2008(residuary.clamped_ratios(outside))[1]
    assert_allclose(got, residuary.rows_2008(residuary.clamped_ratios(at_limit))[1])


def test_several_ratios_can_be_outside(sportsboat):
    wide = replace(sportsboat, beam_waterline=3.0, draft_canoe=0.136, area_waterplane=13.5)
    assert {note.name for note in residuary.series_range_notes(wide)} >= {"length_beam", "beam_draft"}


def test_heeled_change_is_even_and_zero_upright_and_at_rest(sportsboat):
    heel = np.array([-0.3, 0.3])
    low, high = residuary.heeled_residuary_change(sportsboat, 0.4, heel)
    assert low == high > 0
    assert residuary.heeled_residuary_change(sportsboat, 0.4, 0.0) == 0.0
    assert residuary.heeled_residuary_change(sportsboat, 0.0, 0.3) == 0.0


def test_heel_growth_factors():
    assert_allclose(residuary.heel_growth(np.array([20.0, 10.0]) * np.pi / 180), [1.0025, 0.3086], atol=5e-4)


def test_heeled_change_is_held_above_its_last_row(sportsboat):
    last, beyond = residuary.heeled_residuary_at_20(sportsboat, [0.55, 0.9])
    assert last == beyond


def test_heeled_change_has_no_step(sportsboat):
    froude = np.linspace(0.15, 0.60, 4501)
    assert np.abs(np.diff(residuary.heeled_residuary_at_20(sportsboat, froude))).max() < 2e-5


def test_negative_froude_is_refused(sportsboat):
    for function in (residuary.residuary_1998, residuary.residuary_mean, residuary.heeled_residuary_at_20):
        with pytest.raises(InputError, match="froude"):
            function(sportsboat, [-0.1])


def test_shapes(sportsboat):
    assert residuary.heeled_residuary_change(sportsboat, np.ones((3, 1)) * 0.4, np.zeros(5)).shape == (3, 5)
    assert residuary.residuary_mean(sportsboat, []).coefficient.shape == (0,)
