"""The pre-planing regression: rows, size correction, flags."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import preplaning
from cringle.physics.hull_form import volume_froude_number
from cringle.physics.water import Water


def _speed(hull, volume_froude):
    return np.asarray(volume_froude) / volume_froude_number(1.0, hull.volume_canoe)


def test_rows_rise_and_are_positive(sportsboat):
    froude, values = preplaning.preplaning_rows(sportsboat)
    assert_allclose(froude, np.arange(1.0, 2.05, 0.1))
    assert np.all(values > 0)
    assert np.all(np.diff(values) > 0)


def test_a_boat_of_the_reference_size_needs_no_correction(sportsboat, sea):
    scale = np.cbrt(preplaning.REFERENCE_MASS_KG / (sea.density * sportsboat.volume_canoe))
    large = replace(
        sportsboat,
        length_waterline=6.4 * scale,
        beam_waterline=1.9 * scale,
        draft_canoe=0.215 * scale,
        volume_canoe=1.08 * scale**3,
        area_waterplane=8.634 * scale**2,
    )
    got = preplaning.preplaning_resistance(large, sea, _speed(large, [1.0, 1.5, 2.0])).coefficient
    assert_allclose(got, preplaning.preplaning_rows(large)[1][[0, 5, 10]], rtol=1e-9)


def test_a_small_boat_pays_more_friction(sportsboat, sea):
    speed = _speed(sportsboat, [1.0, 1.5, 2.0])
    got = preplaning.preplaning_resistance(sportsboat, sea, speed).coefficient
    extra = got - preplaning.preplaning_rows(sportsboat)[1][[0, 5, 10]]
    assert np.all(extra > 0)
    assert np.all(np.diff(extra) > 0)


def test_roughness_and_thick_water_cost(sportsboat, sea):
    speed = _speed(sportsboat, 1.5)
    plain = preplaning.preplaning_resistance(sportsboat, sea, speed).coefficient
    assert preplaning.preplaning_resistance(sportsboat, sea, speed, roughness=2e-4).coefficient > plain
    assert preplaning.preplaning_resistance(sportsboat, Water(1025.0, 1.6e-6), speed).coefficient > plain


def test_outside_its_range_it_holds_and_flags(sportsboat, sea):
    state = preplaning.preplaning_resistance(sportsboat, sea, _speed(sportsboat, [0.0, 0.9, 1.5, 2.1, 4.0]))
    assert state.in_range.tolist() == [False, False, True, False, False]
    assert state.coefficient[0] == state.coefficient[1]
    assert state.coefficient[3] == state.coefficient[4]


def test_wetted_area_is_near_the_other_formula(sportsboat):
    from cringle.physics.friction import canoe_wetted_area

    assert_allclose(preplaning.preplaning_wetted_area(sportsboat), canoe_wetted_area(sportsboat), rtol=0.15)


def test_notes_name_what_is_outside(sportsboat):
    assert preplaning.preplaning_range_notes(sportsboat) == ()
    blunt = replace(sportsboat, half_entrance=0.7)
    assert [note.name for note in preplaning.preplaning_range_notes(blunt)] == ["half_entrance_deg"]


def test_negative_speed_is_refused(sportsboat, sea):
    with pytest.raises(InputError, match="speed"):
        preplaning.preplaning_resistance(sportsboat, sea, [-1.0])
