"""The temporal network: minimal network, loops, added bounds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.plays.network import (
    Bound,
    added,
    at_least,
    can_add,
    distances,
    earliest,
    holds,
    impossible_loop,
    latest,
)

bounds_of = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 6), st.floats(-5, 20)).filter(lambda one: one[0] != one[1]),
    max_size=20,
)


def test_at_least_is_an_upper_bound_the_other_way_round():
    bound = at_least(1, 2, 3.0, "why", ("a",))
    assert (bound.earlier, bound.later, bound.at_most) == (2, 1, -3.0)
    assert bound.why == "why"
    assert bound.items == ("a",)


def test_chain_of_two():
    matrix = distances(3, [at_least(0, 1, 2.0), at_least(1, 2, 3.0), Bound(0, 2, 7.0)])
    assert_allclose(earliest(matrix), [0.0, 2.0, 5.0])
    assert_allclose(latest(matrix), [0.0, 4.0, 7.0])
    assert holds(matrix)


def test_nothing_binds_is_infinite():
    matrix = distances(2, [at_least(0, 1, 0.0)])
    assert np.isinf(latest(matrix)[1])


def test_tightest_of_two_bounds_counts():
    matrix = distances(2, [Bound(0, 1, 5.0), Bound(0, 1, 3.0)])
    assert matrix[0, 1] == 3.0


def test_loop_is_found_in_order_and_is_closed():
    bounds = [
        at_least(1, 2, 1.0, "b after a"),
        at_least(2, 3, 1.0, "c after b"),
        at_least(3, 1, 1.0, "a after c"),
    ]
    matrix = distances(4, bounds)
    assert not holds(matrix)
    chain = impossible_loop(4, bounds)
    assert {one.why for one in chain} == {"b after a", "c after b", "a after c"}
    assert all(one.later == two.earlier for one, two in zip(chain, [*chain[1:], chain[0]], strict=True))
    assert sum(one.at_most for one in chain) < 0.0


def test_no_loop_no_chain():
    assert impossible_loop(3, [at_least(0, 1, 1.0), at_least(1, 2, 1.0)]) == []


@given(bounds_of)
def test_loop_exists_exactly_when_the_network_cannot_hold(raw):
    bounds = [Bound(*one) for one in raw]
    chain = impossible_loop(7, bounds)
    assert holds(distances(7, bounds)) == (chain == [])
    if chain:
        assert sum(one.at_most for one in chain) < 0.0


@given(bounds_of, st.integers(0, 6), st.integers(0, 6), st.floats(-5, 20))
def test_adding_one_bound_equals_solving_again(raw, one, other, at_most):
    bounds = [Bound(*part) for part in raw]
    matrix = distances(7, bounds)
    bound = Bound(one, other, at_most)
    if not holds(matrix) or not can_add(matrix, bound):
        return
    assert_allclose(added(matrix, bound), distances(7, [*bounds, bound]), atol=1e-6)


@given(bounds_of, st.integers(0, 6), st.integers(1, 6), st.floats(0, 10))
def test_one_more_bound_never_makes_anything_earlier(raw, one, other, gap):
    bounds = [*(at_least(0, point, 0.0) for point in range(1, 7)), *(Bound(*part) for part in raw)]
    before, after = distances(7, bounds), distances(7, [*bounds, at_least(one, other, gap)])
    if holds(before) and holds(after):
        assert np.all(earliest(after) >= earliest(before) - 1e-9)


@pytest.mark.parametrize("points", [1, 2, 50])
def test_empty_network_holds(points):
    assert holds(distances(points, []))
