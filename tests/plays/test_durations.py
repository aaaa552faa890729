"""Three-point durations and what a stop-watch adds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.plays.durations import (
    beta_shapes,
    beta_variance,
    inverse_table,
    look_up,
    three_point_mean,
    three_point_sd,
    updated,
)

ordered = st.tuples(st.floats(0.1, 5), st.floats(0, 5), st.floats(0.01, 5)).map(
    lambda one: (one[0], one[0] + one[1], one[0] + one[1] + one[2])
)


def test_mean_and_spread():
    assert_allclose(three_point_mean(2.0, 3.5, 8.0), 4.0)
    assert_allclose(three_point_sd(2.0, 8.0), 1.0)
    assert_allclose(three_point_mean([1, 2], [2, 3], [3, 10]), [2.0, 4.0])


@given(ordered)
def test_the_beta_distribution_has_the_mean_of_the_three_points(times):
    a, b = beta_shapes(times)
    low, likely, high = times
    assert_allclose(low + (high - low) * a / (a + b), three_point_mean(low, likely, high), rtol=1e-9)


@given(ordered)
def test_the_table_has_mean_and_variance_of_the_distribution(times):
    draws = look_up(inverse_table(times), np.random.default_rng(1).standard_normal(40_000))
    low, likely, high = times
    sd = np.sqrt(beta_variance(times))
    assert abs(draws.mean() - three_point_mean(low, likely, high)) < 5 * sd / 200 + 1e-3 * (high - low)
    assert_allclose(draws.std(), sd, rtol=0.05)
    assert draws.min() >= low - 1e-9
    assert draws.max() <= high + 1e-9


def test_the_table_rises():
    assert np.all(np.diff(inverse_table((1.0, 1.0, 5.0))) >= 0.0)
    assert np.all(np.diff(inverse_table((1.0, 5.0, 5.0))) >= 0.0)


def test_no_spread_is_one_number():
    assert_allclose(look_up(inverse_table((4.0, 4.0, 4.0)), np.array([-9.0, 0.0, 9.0])), 4.0)
    assert beta_variance((4.0, 4.0, 4.0)) == 0.0


def test_without_runs_the_written_times_stand():
    found = updated((2.0, 3.0, 5.0), [])
    assert found.three_point_s == (2.0, 3.0, 5.0)
    assert found.runs == 0


def test_runs_pull_and_do_not_overwrite():
    prior = (2.0, 3.0, 5.0)
    one = updated(prior, [4.5])
    many = updated(prior, [4.5] * 50)
    start = float(three_point_mean(*prior))
    assert start < one.mean_s < many.mean_s < 4.5
    assert_allclose(one.mean_s, (4 * start + 4.5) / 5)
    assert many.sd_s < one.sd_s


def test_mean_and_spread_of_the_new_three_points_are_the_posterior_s():
    found = updated((2.0, 3.0, 5.0), [3.0, 4.0, 3.5])
    assert_allclose(three_point_mean(*found.three_point_s), found.mean_s)
    assert_allclose(three_point_sd(found.three_point_s[0], found.three_point_s[2]), found.sd_s)


def test_a_slow_run_makes_the_likely_time_longer():
    for prior in ((2.0, 2.1, 3.2), (2.0, 3.1, 3.2), (3.0, 3.0, 3.0)):
        found = updated(prior, [4.0])
        assert found.three_point_s[1] > prior[1]
        assert list(found.three_point_s) == sorted(found.three_point_s)


def test_scatter_widens_the_spread():
    assert updated((2.0, 3.0, 5.0), [1.0, 6.0]).sd_s > updated((2.0, 3.0, 5.0), [3.1, 3.2]).sd_s


def test_times_stay_positive_and_ordered():
    low, likely, high = updated((0.1, 0.2, 6.0), [0.05] * 30).three_point_s
    assert 0.0 < low <= likely <= high


@pytest.mark.parametrize("runs", [[-1.0], [float("nan")], [float("inf")]])
def test_runs_that_cannot_be(runs):
    with pytest.raises(InputError, match="negative or no number"):
        updated((1.0, 2.0, 3.0), runs)
