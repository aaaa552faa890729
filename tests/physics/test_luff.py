"""Draft and sag, luff load, thin aerofoil and the twisted jib."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import OutOfRangeError
from cringle.physics.luff import (
    arc_over_chord,
    chord_shortening,
    draft_after_shortening,
    draft_with_sag,
    entry_half_angle,
    luff_load,
    thin_aerofoil_lift,
    twisted_jib,
    zero_lift_angle,
)

drafts = st.floats(0.02, 0.15)


@given(drafts)
def test_arc_over_chord_is_its_series_to_sixth_order(draft):
    assert_allclose(arc_over_chord(draft), 1 + 8 / 3 * draft**2 - 32 / 5 * draft**4, atol=45 * draft**6)


@given(drafts, st.floats(0.5, 3.0), st.floats(0.0, 0.02))
def test_the_cloth_keeps_its_length(draft, chord, share):
    shortening = share * chord
    after = draft_after_shortening(chord, draft, shortening=shortening)
    assert_allclose(arc_over_chord(after) * (chord - shortening), arc_over_chord(draft) * chord, rtol=1e-12)
    assert after >= draft * (1.0 - 1e-9)


@given(drafts, st.floats(0.5, 3.0))
def test_no_sag_no_change_and_the_hollow_cancels_its_sag(draft, chord):
    assert_allclose(draft_with_sag(chord, draft, sag=0.0), draft, rtol=1e-9)
    assert_allclose(draft_with_sag(chord, draft, sag=0.03, luff_hollow=0.03), draft, rtol=1e-9)


def test_more_sag_is_deeper_and_more_hollow_than_sag_is_flatter():
    sag = np.array([0.0, 0.01, 0.02, 0.04])
    deeper = draft_with_sag(2.0, 0.10, sag=sag)
    assert (np.diff(deeper) > 0.0).all()
    assert draft_with_sag(2.0, 0.10, sag=0.0, luff_hollow=0.01) < 0.10


def test_a_chord_longer_than_the_cloth_is_nan():
    assert np.isnan(draft_after_shortening(2.0, 0.05, shortening=-0.10))
    assert np.isnan(draft_after_shortening(2.0, 0.10, shortening=1.0))
    assert np.isnan(draft_after_shortening(np.nan, 0.10, shortening=0.0))


def test_published_size_of_the_chordwise_part():
    assert_allclose(chord_shortening(1.0, 0.10), 0.9285, atol=5e-5)
    assert_allclose(np.degrees(entry_half_angle(np.array([0.10, 0.1188]))), [21.8, 25.4], atol=0.05)


def test_a_flatter_sail_loads_the_stay_more():
    load = luff_load(60.0, 1.5, draft=np.array([0.08, 0.10, 0.14]))
    assert (np.diff(load) < 0.0).all()
    assert (load > 60.0 * 1.5 / 2.0).all()
    assert_allclose(load[1:], [121.2, 92.1], atol=0.05)


def test_thin_aerofoil():
    assert_allclose(np.degrees(zero_lift_angle(0.10)), -11.459, atol=5e-4)
    assert_allclose(thin_aerofoil_lift(0.0, 0.10), 4 * np.pi * 0.10)
    assert_allclose(thin_aerofoil_lift(zero_lift_angle(0.08), 0.08), 0.0, atol=1e-15)
    slope = thin_aerofoil_lift(1.0, 0.1, aspect_ratio=5.0) - thin_aerofoil_lift(0.0, 0.1, aspect_ratio=5.0)
    assert_allclose(slope, 4.488, atol=5e-4)


def test_twisted_jib_table():
    got = twisted_jib(np.radians(12.0), 0.10, twist=np.radians([0.0, 10.0, 20.0]))
    assert_allclose(got.lift_ratio, [1.0, 0.8579, 0.7158], atol=5e-5)
    assert_allclose(got.centre_height_ratio, [0.3333, 0.3057, 0.2672], atol=5e-5)


@given(st.floats(0.05, 0.4), drafts, st.floats(0.0, 0.05))
def test_twist_only_takes_lift_and_height(incidence, draft, twist):
    got = twisted_jib(incidence, draft, twist=twist)
    assert 0.0 < got.lift_ratio <= 1.0 and 0.0 < got.centre_height_ratio <= 1.0 / 3.0 + 1e-12


def test_a_head_that_sets_back_to_front_is_nan():
    assert np.isnan(twisted_jib(0.05, 0.02, twist=0.2)).all()
    assert np.isnan(twisted_jib(-0.1, 0.02, twist=0.0)).all()


def test_scalar_array_and_nan():
    assert np.ndim(draft_with_sag(2.0, 0.1, sag=0.02)) == 0
    assert draft_with_sag(np.array([1.2, 2.0]), 0.1, sag=0.02).shape == (2,)
    assert np.isnan(arc_over_chord(np.nan))


@pytest.mark.parametrize("wrong", [0.0, -0.1, 0.5, np.array([0.1, 10.0])])
def test_a_draft_in_per_cent_is_refused(wrong):
    for call in (arc_over_chord, entry_half_angle, zero_lift_angle):
        with pytest.raises(OutOfRangeError, match="depth over chord"):
            call(wrong)
