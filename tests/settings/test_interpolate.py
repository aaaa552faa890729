from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.settings.interpolate import monotone, monotone_slopes

ROWS = st.lists(st.tuples(st.floats(0.5, 6.0), st.floats(-12.0, 20.0)), min_size=2, max_size=12)


def _points(rows):
    return np.cumsum([gap for gap, _ in rows]), np.array([value for _, value in rows])


def test_passes_through_every_row():
    winds, marks = [4.0, 8.0, 12.0, 16.0], [6.0, 4.0, 2.5, 3.5]
    assert_allclose(monotone(winds, marks, winds), marks, rtol=0, atol=1e-12)


def test_two_rows_make_a_straight_line():
    assert_allclose(monotone([4.0, 8.0], [6.0, 4.0], [5.0, 6.0, 7.0]), [5.5, 5.0, 4.5], atol=1e-12)


def test_one_row_holds_everywhere():
    assert_allclose(monotone([8.0], [3.0], [0.0, 8.0, 30.0]), [3.0, 3.0, 3.0])


def test_holds_the_ends_beyond_the_rows():
    assert_allclose(monotone([4.0, 8.0, 12.0], [6.0, 4.0, 1.0], [0.0, 40.0]), [6.0, 1.0])


def test_flat_stretch_stays_flat():
    assert_allclose(monotone([4.0, 6.0, 8.0, 10.0], [0.0, 0.0, 1.0, 5.0], [4.5, 5.5]), [0.0, 0.0], atol=1e-15)


def test_turning_point_has_no_slope():
    slopes = monotone_slopes(np.array([4.0, 8.0, 12.0]), np.array([5.0, 2.0, 4.0]))
    assert slopes[1] == 0.0


def test_end_slope_keeps_its_sign_and_is_cut_back():
    assert monotone_slopes(np.array([0.0, 1.0, 2.0]), np.array([0.0, 0.1, 5.0]))[0] == 0.0
    cut = monotone_slopes(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, -10.0]))[0]
    assert_allclose(cut, 3.0)


def test_keeps_shape_and_nan():
    found = monotone([4.0, 8.0], [6.0, 4.0], [[4.0, np.nan], [6.0, 8.0]])
    assert found.shape == (2, 2)
    assert np.isnan(found[0, 1])
    assert monotone([4.0, 8.0], [6.0, 4.0], 6.0).shape == ()
    assert monotone([4.0, 8.0], [6.0, 4.0], []).size == 0


@pytest.mark.parametrize(
    ("x", "y"), [([], []), ([4.0, 4.0], [1.0, 2.0]), ([8.0, 4.0], [1.0, 2.0]), ([4.0, 8.0], [1.0])]
)
def test_refuses_rows_that_are_not_a_table(x, y):
    with pytest.raises(InputError):
        monotone(x, y, 5.0)


@given(ROWS)
def test_never_overshoots_its_two_neighbours(rows):
    winds, marks = _points(rows)
    at = np.linspace(winds[0], winds[-1], 301)
    found = monotone(winds, marks, at)
    left = np.clip(np.searchsorted(winds, at, side="right") - 1, 0, winds.size - 2)
    low, high = np.minimum(marks[left], marks[left + 1]), np.maximum(marks[left], marks[left + 1])
    assert np.all(found >= low - 1e-9)
    assert np.all(found <= high + 1e-9)


@given(ROWS)
def test_a_growing_table_grows_everywhere(rows):
    winds, marks = _points(rows)
    grown = np.cumsum(np.abs(marks))
    found = monotone(winds, grown, np.linspace(winds[0], winds[-1], 201))
    assert np.all(np.diff(found) >= -1e-9)


@given(ROWS)
def test_mirror_image_gives_the_mirror_image(rows):
    winds, marks = _points(rows)
    at = np.linspace(winds[0], winds[-1], 21)
    assert_allclose(monotone(winds, -marks, at), -monotone(winds, marks, at), atol=1e-9)
