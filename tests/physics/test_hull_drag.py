"""The blend: limits, smoothness, monotony, flags."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import hull_drag
from cringle.physics.hull_form import HullForm, froude_number


def _speed(hull, froude):
    return np.asarray(froude) / froude_number(1.0, hull.length_waterline)


def test_each_method_alone_where_it_should_be(sportsboat, sea):
    slow = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, [0.1, 0.3, 0.45]))
    assert_allclose(slow.total, slow.displacement)
    middle = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, [0.60, 0.62, 0.64]))
    assert_allclose(middle.total, middle.preplaning)
    fast = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, [0.81, 1.0, 1.3]))
    assert_allclose(fast.total, fast.planing)


def test_rest_has_no_drag(sportsboat, sea):
    assert hull_drag.upright_drag(sportsboat, sea, 0.0).total == 0.0


def test_strictly_rising_for_the_reference_hull(sportsboat, sea):
    assert hull_drag.is_monotone(sportsboat, sea, highest_speed=10.0)
    total = hull_drag.upright_drag(sportsboat, sea, np.linspace(0.05, 10.0, 2000)).total
    assert np.all(np.diff(total) > 0)


def test_smooth_no_step_and_no_kink(sportsboat, sea):
    step = 0.01
    speed = np.arange(1.0, 10.0, step)
    slope = np.diff(hull_drag.upright_drag(sportsboat, sea, speed).total) / step
    assert slope.max() < 700.0
    assert np.abs(np.diff(slope)).max() < 12.0


def test_worked_values_to_their_printed_digits(sportsboat, sea):
    froude = [0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 1.00, 1.20]
    expected = [42.5, 112.8, 303.8, 732.4, 902.1, 1039.6, 1181.3, 1291.6, 1382.4, 1543.0]
    got = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, froude)).total
    assert_allclose(got, expected, rtol=5e-4, atol=0.06)


def test_a_dip_is_found(sportsboat, sea):
    heavy_centre = replace(sportsboat, planing_lcg=5.9, transom_ratio=0.0, half_entrance=0.07)
    assert not hull_drag.is_monotone(heavy_centre, sea, highest_speed=10.0)


@settings(max_examples=40)
@given(
    st.floats(6.5, 10.0),
    st.floats(3.1, 3.6),
    st.floats(0.66, 0.74),
    st.floats(0.2, 0.4),
    st.floats(0.36, 0.40),
)
def test_sportsboats_never_dip_by_more_than_one_per_cent(sea, beam_draft, length_beam, cm, transom, lcg):
    beam = 6.4 / length_beam
    draft = beam / beam_draft
    volume = 0.56 * cm * 6.4 * beam * draft
    hull = HullForm(
        6.4,
        beam,
        draft,
        volume,
        0.56,
        cm,
        0.70 * 6.4 * beam,
        6.4 * 0.54,
        6.4 * 0.565,
        0.26,
        transom,
        0.92 * beam,
        0.21,
        6.4 * lcg,
        3.2,
    )
    total = hull_drag.upright_drag(hull, sea, np.linspace(0, 10, 401)).total
    assert np.all(total >= 0)
    assert np.all(np.maximum.accumulate(total) - total <= 0.01 * total.max())


def test_more_weight_more_drag(sportsboat, sea):
    from cringle.physics.hull_form import with_volume

    heavier = with_volume(sportsboat, sportsboat.volume_canoe * 1.05)
    speed = np.linspace(0.5, 10.0, 60)
    light = hull_drag.upright_drag(sportsboat, sea, speed).total
    assert np.all(hull_drag.upright_drag(heavier, sea, speed).total > light)


def test_flags_follow_the_method_in_charge(sportsboat, sea):
    drag = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, [0.0, 0.3, 0.5, 0.7, 1.0]))
    assert drag.in_range.all()
    beyond = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, 3.0))
    assert not beyond.in_range


def test_standard_deviation_grows_with_speed_and_disagreement(sportsboat, sea):
    drag = hull_drag.upright_drag(sportsboat, sea, _speed(sportsboat, [0.3, 0.5, 0.9]))
    share = drag.standard_deviation / drag.total
    assert np.all(share >= [0.06, 0.10, 0.149])
    assert_allclose(hull_drag.relative_error([0.3, 0.55, 0.9]), [0.08, 0.10, 0.15])


def test_blend_is_configurable_and_checked(sportsboat, sea):
    speed = _speed(sportsboat, 0.5)
    late = hull_drag.Blend(froude_low=0.50, froude_high=0.60)
    got = hull_drag.upright_drag(sportsboat, sea, speed, blend=late)
    assert_allclose(got.total, got.displacement)
    for bad in ({"froude_low": 0.7}, {"volume_froude_high": 1.0}, {"froude_low": -0.1}):
        with pytest.raises(InputError, match="blend"):
            hull_drag.Blend(**bad)


def test_upper_bound_lies_above_the_blend(sportsboat, sea):
    speed = _speed(sportsboat, [0.60, 0.65, 0.70])
    above = (
        hull_drag.displacement_upper_bound(sportsboat, sea, speed)
        / hull_drag.upright_drag(sportsboat, sea, speed).total
    )
    assert np.all((above > 1.15) & (above < 1.35))
    assert np.isnan(hull_drag.displacement_upper_bound(sportsboat, sea, _speed(sportsboat, 0.75)))


def test_scalar_equals_array_and_shape_is_kept(sportsboat, sea):
    grid = np.array([[1.0, 3.0], [4.0, 7.0]])
    many = hull_drag.upright_drag(sportsboat, sea, grid)
    assert many.total.shape == grid.shape
    assert_allclose(hull_drag.upright_drag(sportsboat, sea, 4.0).total, many.total[1, 0])


def test_notes_of_both_methods_come_together(sportsboat):
    assert hull_drag.drag_range_notes(sportsboat) == ()
    odd = replace(sportsboat, cm=0.95, half_entrance=0.7)
    assert [note.name for note in hull_drag.drag_range_notes(odd)] == ["cm", "half_entrance_deg"]


def test_negative_speed_is_refused(sportsboat, sea):
    with pytest.raises(InputError, match="speed"):
        hull_drag.upright_drag(sportsboat, sea, [1.0, -1.0])
