"""The kite to windward, and the jib between main and kite."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics.assumptions import default_air_assumptions
from cringle.physics.downwind import (
    jib_coefficients,
    jib_exposure,
    kite_downwash,
    wing_kite_drag,
    wing_share,
)
from cringle.physics.sails import Sail, sail_coefficients

JIB = Sail("jib", 10.6, 3.55)


def test_the_wing_fades_in_from_150_to_165_degrees():
    assert_allclose(
        wing_share(np.radians([0.0, 140.0, 150.0, 157.5, 165.0, 180.0])), [0, 0, 0, 0.5, 1, 1], atol=1e-12
    )


def test_the_wing_moves_with_its_assumptions():
    later = replace(default_air_assumptions(), wing_fade_from=2.8, wing_full_from=3.0)
    assert_allclose(wing_share(np.array([2.8, 2.9, 3.0]), later), [0.0, 0.5, 1.0], atol=1e-12)


@given(st.floats(0.0, np.pi), st.floats(0.0, np.pi))
def test_shares_are_monotone_even_and_between_their_ends(one, other):
    low, high = sorted((one, other))
    assert wing_share(low) <= wing_share(high)
    assert jib_exposure(low) >= jib_exposure(high)
    assert 0.0 <= jib_exposure(low) <= 0.30 and 0.0 <= wing_share(low) <= 1.0
    assert wing_share(-low) == wing_share(low) and jib_exposure(-low) == jib_exposure(low)


def test_no_kite_drags_more_than_a_hollow_hemisphere():
    assert wing_kite_drag() == 1.00
    assert_allclose(wing_kite_drag(replace(default_air_assumptions(), wing_kite_drag=2.2)), 1.42 * 0.8)


def test_full_exposure_is_the_unblanketed_jib_and_none_the_blanketed_one():
    at = np.radians([45.0, 60.0, 80.0])
    for share, name in ((1.0, "jib_plain"), (0.0, "jib_blanketed")):
        known = replace(default_air_assumptions(), jib_exposure_beside_kite=share)
        got = jib_coefficients(JIB, at, beside_kite=True, assumptions=known)
        assert_allclose(got, sail_coefficients(name, at), atol=1e-12)


def test_nan_stays_nan():
    assert np.isnan(wing_share(np.nan)) and np.isnan(jib_exposure(np.nan))
    assert np.isnan(jib_coefficients(JIB, np.nan, beside_kite=True)).all()


def test_downwash_by_hand_and_none_without_lift():
    assert_allclose(kite_downwash(1.2, 42.0, 9.5), 1.2 * 42.0 / (np.pi * 9.5**2))
    assert_allclose(kite_downwash(np.array([-0.1, 0.0]), 42.0, 9.5), 0.0)


def test_a_turned_jib_reads_the_smaller_angle_but_is_covered_as_before():
    known = replace(default_air_assumptions(), jib_exposure_beside_kite=1.0)
    at = np.radians([60.0, 80.0, 95.0])
    got = jib_coefficients(JIB, at, beside_kite=True, turned=np.radians(12.0), assumptions=known)
    assert_allclose(got, sail_coefficients("jib_plain", at - np.radians(12.0)), atol=1e-12)
    gone = jib_coefficients(JIB, np.radians(125.0), beside_kite=True, turned=0.2, assumptions=known)
    assert_allclose(gone, sail_coefficients("jib_blanketed", np.radians(125.0) - 0.2), atol=1e-12)


def test_a_turn_beyond_the_bow_shakes_the_jib():
    got = jib_coefficients(JIB, 0.1, beside_kite=True, turned=0.4)
    assert_allclose(got, jib_coefficients(JIB, 0.0, beside_kite=True), atol=1e-12)
