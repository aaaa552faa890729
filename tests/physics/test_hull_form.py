"""The numbers of a hull, and small changes to them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError, OutOfRangeError
from cringle.physics.hull_form import (
    RangeNote,
    froude_number,
    is_consistent,
    volume_froude_number,
    with_centre_moved,
    with_volume,
)


def test_ratios(sportsboat):
    assert_allclose(sportsboat.slenderness, 6.238, atol=5e-4)
    assert_allclose(sportsboat.lcb_percent, -4.0, atol=1e-9)
    assert_allclose(sportsboat.waterplane_coefficient, 0.71, atol=1e-3)
    assert is_consistent(sportsboat)
    assert not is_consistent(replace(sportsboat, cp=0.70))


@pytest.mark.parametrize(
    "field",
    [
        "length_waterline",
        "beam_waterline",
        "draft_canoe",
        "volume_canoe",
        "area_waterplane",
        "chine_beam",
        "cp",
        "lcb_from_bow",
    ],
)
@pytest.mark.parametrize("value", [-1.0, 0.0, float("nan")])
def test_negative_sizes_are_refused_by_name(sportsboat, field, value):
    with pytest.raises(InputError, match=field):
        replace(sportsboat, **{field: value})


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("cp", 1.2),
        ("cm", 1.01),
        ("transom_ratio", 1.5),
        ("half_entrance", 15.0),
        ("deadrise", 12.0),
        ("lcb_from_bow", 7.0),
        ("planing_lcg", 6.5),
        ("area_waterplane", 13.0),
        ("volume_canoe", 3.0),
    ],
)
def test_impossible_ratios_are_refused_with_their_range(sportsboat, field, value):
    with pytest.raises(OutOfRangeError) as caught:
        replace(sportsboat, **{field: value})
    assert caught.value.name == field
    assert caught.value.found == value


def test_froude_numbers_are_related(sportsboat):
    speed = np.array([0.0, 2.0, 6.0])
    ratio = volume_froude_number(speed[1:], sportsboat.volume_canoe) / froude_number(speed[1:], 6.4)
    assert_allclose(ratio, 2.4976, atol=1e-4)
    assert froude_number(0.0, 6.4) == 0.0
    assert_allclose(froude_number(np.sqrt(STANDARD_GRAVITY_M_PER_S2 * 6.4), 6.4), 1.0)


def test_negative_speed_is_refused():
    with pytest.raises(InputError, match="speed"):
        froude_number([-0.1], 6.4)
    with pytest.raises(InputError, match="volume"):
        volume_froude_number(1.0, -1.0)


def test_with_volume_sinks_by_the_waterplane(sportsboat):
    heavier = with_volume(sportsboat, sportsboat.volume_canoe + 0.08)
    assert_allclose(heavier.draft_canoe - sportsboat.draft_canoe, 0.08 / sportsboat.area_waterplane)
    assert_allclose(heavier.cp * heavier.cm, heavier.block_coefficient, rtol=1e-9)
    assert heavier.cm > sportsboat.cm


@given(st.floats(-0.12, 0.12))
def test_with_volume_there_and_back(sportsboat, share):
    there = with_volume(sportsboat, sportsboat.volume_canoe * (1.0 + share))
    back = with_volume(there, sportsboat.volume_canoe)
    assert_allclose(back.draft_canoe, sportsboat.draft_canoe, rtol=1e-9)
    assert_allclose(back.cm, sportsboat.cm, rtol=1e-9)


def test_with_volume_refuses_a_hull_out_of_the_water(sportsboat):
    with pytest.raises(InputError, match="nearer"):
        with_volume(replace(sportsboat, area_waterplane=4.0), 0.05)


def test_centre_moves_both_ways(sportsboat):
    moved = with_centre_moved(sportsboat, 0.05)
    assert moved.lcb_percent > sportsboat.lcb_percent
    assert_allclose(moved.planing_lcg - sportsboat.planing_lcg, 0.05)
    assert_allclose(with_centre_moved(moved, -0.05).lcb_from_bow, sportsboat.lcb_from_bow)


def test_texts(sportsboat):
    assert repr(sportsboat) == "HullForm(6.4 m x 1.9 m x 0.215 m, 1.08 m3)"
    assert str(RangeNote("cp", 0.65, 0.52, 0.6)) == "cp: found 0.65, the method was made for 0.52 to 0.6"
