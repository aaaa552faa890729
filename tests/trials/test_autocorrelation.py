from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.trials.autocorrelation import (
    autocorrelation,
    corrected_first,
    effective_samples,
    effective_samples_measured,
    pair_sums,
)


def test_small_series_by_hand() -> None:
    assert_allclose(autocorrelation(np.array([10000001.0, 10000003.0, 10000002.0]), 2), [1.0, -0.5, 0.0])


@given(st.lists(st.floats(-100, 100), min_size=4, max_size=30), st.floats(0.1, 10), st.floats(-50, 50))
def test_scale_and_place_do_not_matter(values: list[float], scale: float, place: float) -> None:
    series = np.array(values)
    if np.ptp(series) < 1e-3:
        return
    assert_allclose(autocorrelation(series, 2), autocorrelation(series * scale + place, 2), atol=1e-6)


@pytest.mark.parametrize(("values", "lags"), [([1.0, 1.0, 1.0], 1), ([1.0, 2.0], 2), ([1.0, 2.0], -1)])
def test_what_cannot_be_said_is_refused(values: list[float], lags: int) -> None:
    with pytest.raises(InputError):
        autocorrelation(np.array(values), lags)


def test_correction_lifts_a_short_series_and_spares_a_long_one() -> None:
    assert corrected_first(0.5, 30) == pytest.approx(0.6)
    assert corrected_first(0.5, 10**7) == pytest.approx(0.5, abs=1e-6)
    assert corrected_first(-0.9, 10) == 0.0
    assert corrected_first(0.97, 10) == 0.98


def test_effective_samples_is_the_sum_it_stands_for() -> None:
    k = np.arange(1, 50)
    by_sum = 50.0 / (1.0 + 2.0 * np.sum((1.0 - k / 50.0) * 0.7**k))
    assert effective_samples(0.7, 50) == pytest.approx(by_sum)
    assert effective_samples(0.0, 50) == pytest.approx(50.0)


def test_pair_sums_fall_and_stay_positive() -> None:
    found = pair_sums(np.cumsum(np.random.default_rng(1).standard_normal(400)), 200)
    assert np.all(found > 0.0)
    assert np.all(np.diff(found) <= 0.0)


def test_measured_on_white_noise_is_nearly_all() -> None:
    assert effective_samples_measured(np.random.default_rng(2).standard_normal(5000)) > 3500.0
