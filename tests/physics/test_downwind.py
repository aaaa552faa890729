"""The kite to windward, and the jib between main and kite."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.physics.assumptions import default_air_assumptions
from cringle.physics.downwind import jib_coefficients, jib_exposure, wing_kite_drag, wing_share
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
