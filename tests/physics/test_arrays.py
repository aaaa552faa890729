"""Checks on arguments, and the smooth ramp."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.physics.arrays import as_array, not_negative, require_between, require_positive, smooth_step


def test_as_array_makes_no_copy():
    values = np.array([1.0, 2.0])
    assert as_array(values) is values
    assert as_array(3).dtype == np.float64


def test_not_negative_names_the_first_bad_element():
    with pytest.raises(InputError, match=r"speed: found -2 \(element 1\)"):
        not_negative("speed", [1.0, -2.0, -3.0])


@pytest.mark.parametrize("value", [0.0, 3.5, [], [np.nan, 1.0]])
def test_not_negative_passes_the_rest(value):
    assert_allclose(not_negative("speed", value), value)


@pytest.mark.parametrize("value", [0.0, -1.0, np.nan, np.inf])
def test_require_positive(value):
    with pytest.raises(InputError, match="beam"):
        require_positive(length=1.0, beam=value)


@pytest.mark.parametrize("value", [-0.1, 1.1, np.nan])
def test_require_between(value):
    with pytest.raises(OutOfRangeError) as caught:
        require_between("cp", value, 0.0, 1.0)
    assert caught.value.low == 0.0
    assert caught.value.next_step


def test_smooth_step_ends_and_middle():
    assert_allclose(smooth_step([0.0, 1.0, 1.5, 2.0, 9.0], 1.0, 2.0), [0.0, 0.0, 0.5, 1.0, 1.0])


@given(st.floats(-5, 5), st.floats(0, 3))
def test_smooth_step_never_falls(value, rise):
    low, high = smooth_step([value, value + rise], -1.0, 2.0)
    assert 0.0 <= low <= high <= 1.0
