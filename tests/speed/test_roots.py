import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from cringle.speed.roots import bracketed_roots

TINY = np.full(1, 1e-12)


def test_many_equations_at_once_agree_with_one_at_a_time():
    k = np.linspace(0.3, 3.0, 40)
    roots, rest = bracketed_roots(
        lambda x: k - x**3 - x, np.zeros(40), np.full(40, 2.0), tolerance=np.full(40, 1e-12)
    )
    assert_allclose(roots, [brentq(lambda x, c=c: c - x**3 - x, 0.0, 2.0) for c in k], atol=1e-10)
    assert np.abs(rest).max() <= 1e-12


@given(st.floats(-0.9, 0.9))
def test_a_kink_does_not_stop_it(kink):
    def bent(x):
        return np.where(x < kink, 1.0, 50.0) * (kink - x)

    root, rest = bracketed_roots(bent, np.array([-1.0]), np.array([1.0]), tolerance=TINY)
    assert_allclose(root, kink, atol=1e-9)
    assert abs(rest[0]) <= 1e-11


def test_a_jump_is_reported_by_its_remainder():
    root, rest = bracketed_roots(
        lambda x: np.where(x < 0.3, 1.0, -2.0), np.array([0.0]), np.array([1.0]), tolerance=TINY
    )
    assert abs(rest[0]) >= 1.0
    assert_allclose(root, 0.3, atol=1e-3)


def test_no_change_of_sign_gives_the_end_that_is_nearer_and_its_remainder():
    root, rest = bracketed_roots(lambda x: 1.0 + x, np.array([0.0]), np.array([1.0]), tolerance=TINY)
    assert (root[0], rest[0]) == (0.0, 1.0)


def test_none_in_none_out():
    root, rest = bracketed_roots(lambda x: x, np.empty(0), np.empty(0), tolerance=np.empty(0))
    assert root.size == rest.size == 0


def test_the_ends_given_are_left_alone():
    low, high = np.array([0.0]), np.array([1.0])
    bracketed_roots(lambda x: 0.4 - x, low, high, tolerance=TINY)
    assert (low[0], high[0]) == (0.0, 1.0)


def test_a_rise_through_zero_is_no_root():
    root, rest = bracketed_roots(lambda x: x - 0.4, np.array([0.0]), np.array([1.0]), tolerance=TINY)
    assert (root[0], rest[0]) == (0.0, -0.4)
