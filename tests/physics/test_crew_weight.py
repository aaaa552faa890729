"""Mass centres of people."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import crew_weight

DEG = np.pi / 180
POSTURES = ("hike", "legs in", "centreline", "hatch", "aft", "leeward forward")


def test_links_hold_the_whole_body():
    links = crew_weight.body_links()
    assert_allclose(links.trunk_moment, 0.678 * 0.626 * 0.288)
    assert_allclose(links.thigh_moment, 0.200 * 0.433 * 0.245)
    assert_allclose(0.678 + 0.200 + links.below_knee_mass, 1.0)


def test_mean_body_lies_between_the_two():
    assert_allclose(crew_weight.segment_mass_sum("mean"), 1.0, atol=2e-4)
    centres = {build: crew_weight.segment_centres(build) for build in ("male", "female", "mean")}
    assert_allclose(centres["mean"]["thigh"], (0.4095 + 0.3612) / 2)
    for segment, value in centres["mean"].items():
        ends = sorted((centres["male"][segment], centres["female"][segment]))
        assert ends[0] <= value <= ends[1]


def test_unknown_build_lists_the_known():
    with pytest.raises(InputError, match="male, female, mean"):
        crew_weight.segment_mass_sum("other")  # type: ignore[arg-type]


@given(st.floats(1.4, 2.1), st.floats(0.0, 80 * DEG), st.floats(0.01, 5 * DEG))
def test_leaning_out_moves_weight_out(stature, lean, more):
    for legs in (-1.0, 0.0, 1.0):
        one = crew_weight.seated_offset(stature, lean=lean + more, legs=legs)
        assert one > crew_weight.seated_offset(stature, lean=lean, legs=legs)


def test_legs_in_and_out_are_mirror_images_upright():
    out, inboard = crew_weight.seated_offset(1.7, lean=0.0, legs=[1.0, -1.0])
    assert_allclose(out, -inboard)
    assert crew_weight.seated_offset(1.7, lean=0.0, legs=0.0) == 0.0


def test_offset_scales_with_stature():
    small, tall = crew_weight.seated_offset([1.5, 2.0], lean=0.4, legs=1.0)
    assert_allclose(tall / small, 2.0 / 1.5)


def test_leaning_lowers_and_standing_has_legs_below():
    upright, leaned = crew_weight.hip_to_centre(1.75, lean=[0.0, 1.0], level=1.0)
    assert leaned < upright
    assert crew_weight.hip_to_centre(1.75, lean=0.0, level=0.0) < upright


def test_standing_height_is_sex_neutral_unless_asked():
    low, middle, high = (crew_weight.standing_height(1.75, build=b) for b in ("female", "mean", "male"))
    assert low < middle < high
    assert crew_weight.standing_height(1.75) == middle


@pytest.mark.parametrize("name", POSTURES)
def test_every_posture_has_a_place(name):
    posture = crew_weight.posture_named(name)
    centre = crew_weight.mass_centre(posture)
    assert posture.name == name
    assert -0.4 < centre.outboard < 0.4
    assert 0.1 < centre.above < 1.2
    assert 0 < posture.spread < 0.2


def test_hiking_is_worth_more_than_legs_in():
    hike, legs_in = (crew_weight.mass_centre(crew_weight.posture_named(n)) for n in ("hike", "legs in"))
    assert 0.15 < hike.outboard - legs_in.outboard < 0.45


def test_centreline_is_on_the_centreline():
    assert crew_weight.mass_centre(crew_weight.posture_named("centreline")).outboard == 0.0


def test_unknown_posture_lists_the_known():
    with pytest.raises(InputError, match="leeward forward"):
        crew_weight.posture_named("asleep")


def test_impossible_bodies_are_refused():
    posture = crew_weight.posture_named("hike")
    with pytest.raises(InputError, match="stature"):
        crew_weight.mass_centre(posture, -1.7)
    for bad in ({"lean": 35.0}, {"legs": 2.0}, {"level": -1.0}, {"spread": -0.1}):
        with pytest.raises(InputError, match=next(iter(bad))):
            replace(posture, **bad)
