from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.sliding import mean_around, sum_around


def test_mean_of_three():
    assert_allclose(mean_around(np.array([1.0, 2.0, 3.0, 7.0]), 3), [1.5, 2.0, 4.0, 5.0])


def test_gaps_are_left_out_and_stay_where_nothing_is_known():
    got = mean_around(np.array([1.0, np.nan, 3.0, np.nan, np.nan, np.nan]), 3)
    assert_allclose(got, [1.0, 2.0, 3.0, 3.0, np.nan, np.nan])


def test_empty():
    assert mean_around(np.array([]), 5).size == 0


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=40), st.integers(1, 12))
def test_sum_is_that_of_a_loop(values, width):
    array = np.array(values)
    before = width // 2
    want = [array[max(i - before, 0) : i + width - before].sum() for i in range(array.size)]
    assert_allclose(sum_around(array, width), want, atol=1e-7)


@pytest.mark.parametrize("width", [1, 2, 5])
def test_a_constant_stays(width):
    assert_allclose(mean_around(np.full(9, 4.0), width), 4.0)
