"""Keel, rudder and bulb."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import foils

DEG = np.pi / 180


def test_geometry_of_a_fin(appendages):
    keel = appendages.keel
    assert_allclose(keel.draft, 1.5)
    assert_allclose(keel.aspect_ratio, 6.667, atol=1e-3)
    assert_allclose(keel.area_to_waterline, 0.675)
    assert_allclose(keel.wetted_area, 1.180, atol=1e-3)
    assert keel.taper_ratio == 1.0
    assert repr(keel) == "Foil(span 1.285 m, chord 0.45-0.45 m)"


def test_bulb_area_and_its_sphere_limit():
    assert_allclose(foils.Bulb(1.3, 0.26).wetted_area, 0.85, atol=5e-3)
    assert_allclose(foils.Bulb(1.0, 0.9989).wetted_area, np.pi, rtol=2e-3)


@pytest.mark.parametrize(
    "bad", [{"span": -1.0}, {"chord_tip": 0.0}, {"thickness_ratio": 0.9}, {"volume": -0.1}, {"sweep": 30.0}]
)
def test_impossible_fins_are_refused(appendages, bad):
    with pytest.raises(InputError, match=next(iter(bad))):
        replace(appendages.keel, **bad)


@pytest.mark.parametrize("size", [(-1.0, 0.2), (1.0, 0.0), (1.0, 1.2)])
def test_impossible_bulbs_are_refused(size):
    with pytest.raises(InputError):
        foils.Bulb(*size)


def test_total_draft_counts_half_the_bulb(appendages):
    assert_allclose(appendages.draft, 1.63)
    assert_allclose(replace(appendages, bulb=None).draft, 1.5)


def test_profile_drag_is_the_sum_and_grows(appendages, sea):
    speed = np.linspace(0.0, 8.0, 33)
    parts = (
        foils.foil_profile_drag(appendages.keel, sea, speed)
        + foils.foil_profile_drag(appendages.rudder, sea, speed)
        + foils.bulb_profile_drag(appendages.bulb, sea, speed)
    )
    whole = foils.profile_drag(appendages, sea, speed)
    assert_allclose(whole, parts)
    assert whole[0] == 0.0
    assert np.all(np.diff(whole) > 0)
    assert np.all(foils.profile_drag(replace(appendages, bulb=None), sea, speed[1:]) < whole[1:])


def test_keel_waves_start_at_zero_and_are_capped(sportsboat, appendages, sea):
    drag = foils.keel_residuary(sportsboat, appendages.keel, sea, [0.0, 0.1, 0.45, 0.6, 1.2])
    assert_allclose(drag[:2], 0.0, atol=1e-12)
    assert drag[2] == drag[3] == drag[4] > 0


def test_keel_without_volume_makes_no_waves(sportsboat, appendages, sea):
    thin = replace(appendages.keel, volume=0.0)
    assert_allclose(foils.keel_residuary(sportsboat, thin, sea, [0.2, 0.4]), 0.0)
    assert foils.keel_residuary_per_heel(sportsboat, thin, sea, 0.4) == 0.0
    with pytest.raises(InputError, match="keel_volume"):
        foils.keel_residuary_rows(sportsboat, thin)


def test_keel_waves_per_heel(sportsboat, appendages, sea):
    got = foils.keel_residuary_per_heel(sportsboat, appendages.keel, sea, [0.35, 0.45, 0.9])
    assert_allclose(got[0], sea.weight(0.045) * 1.065 * 0.35**2, rtol=2e-3)
    assert got[1] == got[2]


@given(st.floats(-1.0, 1.0))
def test_effective_draft_is_even_and_largest_upright(heel):
    got = foils.effective_draft(1.5, heel, share=0.92)
    assert_allclose(got, foils.effective_draft(1.5, -heel, share=0.92))
    assert got <= 1.38 * (1 + 1e-12)


def test_effective_draft_table_of_the_light_hull(sportsboat):
    heel = np.array([0, 10, 20, 30]) * DEG
    got = foils.effective_draft_table(sportsboat, 1.5, taper_ratio=0.6, froude=0.35, heel=heel)
    assert_allclose(got / 1.5, [0.943, 0.769, 0.730, 0.645], atol=0.003)
    mirrored = foils.effective_draft_table(sportsboat, 1.5, taper_ratio=0.6, froude=0.35, heel=-heel)
    assert_allclose(got, mirrored)


def test_induced_drag_scales(sea):
    base = foils.induced_drag(1000.0, 3.0, 1.4, water=sea)
    assert_allclose(foils.induced_drag(-2000.0, 3.0, 1.4, water=sea), 4 * base)
    assert_allclose(foils.induced_drag(1000.0, 6.0, 1.4, water=sea), base / 4)
    assert_allclose(foils.induced_drag(1000.0, 3.0, 2.8, water=sea), base / 4)


def test_induced_drag_limits(sea):
    assert foils.induced_drag(0.0, 0.0, 1.4, water=sea) == 0.0
    assert np.isinf(foils.induced_drag(10.0, 0.0, 1.4, water=sea))
    with pytest.raises(InputError, match="speed"):
        foils.induced_drag(10.0, -1.0, 1.4, water=sea)


def test_weight_in_water(sea):
    assert_allclose(foils.submerged_weight(0.02, 245.0, sea), (245.0 - 20.5) * 9.80665)
