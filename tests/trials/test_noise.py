from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

from cringle.errors import InputError
from cringle.trials import noise
from cringle.trials.noise import bin_covariance, contrasts, mean_estimate, noise_found, noise_grid

WIDTH_S = 10.0


def middles(count: int) -> np.ndarray:
    return (np.arange(count) + 0.5) * WIDTH_S


def test_bin_covariance_is_the_double_integral() -> None:
    seconds = (np.arange(2000) + 0.5) / 200.0
    lag = np.abs(seconds[:, None] - seconds[None, :])
    far = np.abs(seconds[:, None] - (seconds[None, :] + 30.0))
    assert_allclose(bin_covariance(np.zeros(1), 10.0, 25.0), np.exp(-lag / 25.0).mean(), rtol=1e-5)
    assert_allclose(bin_covariance(np.array([30.0]), 10.0, 25.0), np.exp(-far / 25.0).mean(), rtol=1e-5)


def test_bin_covariance_of_a_short_memory_is_white() -> None:
    found = bin_covariance(np.array([0.0, 10.0, 20.0]), 10.0, 0.01)
    assert found[0] == pytest.approx(2 * 0.01 / 10.0, rel=1e-2)
    assert found[1] < 1e-5
    assert found[2] < 1e-5


def test_the_value_is_the_plain_mean_and_the_interval_is_about_it(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = binned(ar1(np.random.default_rng(1), 1, 1200, 30.0), 10)[0]
    found = mean_estimate(values, middles(120), WIDTH_S)
    assert found.value == pytest.approx(values.mean())
    assert found.high - found.value == pytest.approx(found.value - found.low)
    assert found.half_width == pytest.approx(1.6448536 * found.standard_error, rel=1e-6)


def test_the_interval_moves_and_grows_with_the_values(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = binned(ar1(np.random.default_rng(2), 1, 1200, 30.0), 10)[0]
    plain = mean_estimate(values, middles(120), WIDTH_S)
    other = mean_estimate(5.0 + 3.0 * values, middles(120), WIDTH_S)
    assert other.low == pytest.approx(5.0 + 3.0 * plain.low)
    assert other.effective_samples == pytest.approx(plain.effective_samples, rel=1e-9)


def test_effective_samples_fall_with_memory(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    rng = np.random.default_rng(3)
    counts = [
        np.median(
            [
                mean_estimate(one, middles(120), WIDTH_S).effective_samples
                for one in binned(ar1(rng, 20, 1200, t), 10)
            ]
        )
        for t in (5.0, 20.0, 60.0)
    ]
    assert counts[0] > counts[1] > counts[2]
    assert 1200.0 / 120.0 / 1.6 < counts[2] < 1200.0 / 120.0 * 1.6


@pytest.mark.parametrize(("minutes", "runs"), [(10, 300), (20, 300)])
@pytest.mark.parametrize("kind", ["ar1", "two speeds"])
def test_nine_intervals_in_ten_hold_the_truth(
    minutes: int,
    runs: int,
    kind: str,
    ar1: Callable[..., np.ndarray],
    binned: Callable[..., np.ndarray],
    two_speeds: Callable[..., np.ndarray],
) -> None:
    rng = np.random.default_rng(10 + minutes)
    if kind == "ar1":
        each = runs // 3
        record = np.concatenate([ar1(rng, each, minutes * 60, t) for t in (20.0, 40.0, 60.0)])
    else:
        record = two_speeds(rng, runs, minutes * 60)
    values = binned(record, 10)
    count = values.shape[1]
    grid = noise_grid(middles(count), WIDTH_S)
    found = contrasts(values, np.ones((count, 1)), [[1.0]], grid)
    inside = np.mean([one[0].low <= 0.0 <= one[0].high for one in found])
    assert 0.82 <= inside <= 0.97


def test_a_swap_cancels_what_the_boats_differ_by(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    rng = np.random.default_rng(4)
    carried = np.repeat([1.0, -1.0], 60)
    values = 2.0 * carried + 5.0 + 0.2 * binned(ar1(rng, 1, 1200, 20.0), 10)[0]
    design = np.stack([carried, np.ones(120)], axis=1)
    change, boats = contrasts(
        values[None], design, [[1.0, 0.0], [0.0, 1.0]], noise_grid(middles(120), WIDTH_S)
    )[0]
    assert change.value == pytest.approx(2.0, abs=0.15)
    assert boats.value == pytest.approx(5.0, abs=0.15)
    assert change.low < 2.0 < change.high


def test_parts_of_a_sum_add_up(ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]) -> None:
    rng = np.random.default_rng(5)
    parts = binned(ar1(rng, 2, 1200, 30.0), 10)
    rows = np.concatenate([parts.sum(axis=0)[None], parts])
    found = contrasts(rows, np.ones((120, 1)), [[1.0]], noise_grid(middles(120), WIDTH_S))
    assert found[0][0].value == pytest.approx(found[1][0].value + found[2][0].value)


def test_mixture_of_one_is_the_t_distribution() -> None:
    half = noise._mixture_half_width(np.ones((1, 1)), np.array([[2.0]]), 7)
    assert half[0] == pytest.approx(2.0 * stats.t.ppf(0.95, 7), rel=1e-9)


def test_gaps_between_stretches_loosen_the_tie(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = binned(ar1(np.random.default_rng(6), 1, 600, 60.0), 10)[0]
    apart = middles(60)
    apart[30:] += 3600.0
    assert (
        mean_estimate(values, apart, WIDTH_S).effective_samples
        > mean_estimate(values, middles(60), WIDTH_S).effective_samples
    )


def test_noise_found_gives_the_spread_of_one_minute_means(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    record = 4.0 * ar1(np.random.default_rng(7), 1, 7200, 40.0)
    values = binned(record, 60)[0]
    grid = noise_grid((np.arange(120) + 0.5) * 60.0, 60.0)
    found = noise_found(values, np.ones((120, 1)), grid)
    assert found.one_minute_sd == pytest.approx(values.std(), rel=0.25)
    assert 15.0 < found.forgetting_s < 100.0


def test_too_few_bins_are_refused() -> None:
    with pytest.raises(InputError, match="at least 6"):
        noise_grid(middles(5), WIDTH_S)


def test_prior_weights_sum_to_one() -> None:
    grid = noise_grid(middles(6), WIDTH_S)
    assert np.exp(grid.log_prior).sum() == pytest.approx(1.0)
    assert sum(noise.FAST_SHARE_PRIOR) == pytest.approx(1.0)
