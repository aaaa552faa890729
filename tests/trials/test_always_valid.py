from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from cringle.trials.always_valid import always_valid_interval, is_ruled_out, log_evidence
from cringle.trials.noise import mean_estimate, noise_grid

MIDDLES = (np.arange(60) + 0.5) * 10.0


def test_the_ends_are_where_the_bet_has_grown_tenfold(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = binned(ar1(np.random.default_rng(1), 1, 600, 20.0), 10)[0]
    ends = np.array(always_valid_interval(values, MIDDLES, 10.0))
    worth = log_evidence(np.stack([values, values]), ends, noise_grid(MIDDLES, 10.0))
    assert worth == pytest.approx(np.log(10.0), abs=1e-6)


def test_it_is_wider_than_the_interval_of_one_look(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = binned(ar1(np.random.default_rng(2), 1, 600, 20.0), 10)[0]
    low, high = always_valid_interval(values, MIDDLES, 10.0)
    once = mean_estimate(values, MIDDLES, 10.0)
    assert low < once.low
    assert high > once.high


def test_scale_does_not_matter_to_the_bet(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = binned(ar1(np.random.default_rng(3), 3, 600, 30.0), 10)
    grid = noise_grid(MIDDLES, 10.0)
    nothing = np.zeros(3)
    assert log_evidence(values, nothing, grid) == pytest.approx(log_evidence(7.0 * values, nothing, grid))


def test_a_large_gain_is_ruled_in_and_nothing_is_ruled_out(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    values = 4.0 + binned(ar1(np.random.default_rng(4), 1, 600, 20.0), 10)
    grid = noise_grid(MIDDLES, 10.0)
    assert is_ruled_out(values, np.zeros(1), grid)[0]
    assert not is_ruled_out(values, np.full(1, 4.0), grid)[0]


def test_looking_every_minute_seldom_cries_wolf(
    ar1: Callable[..., np.ndarray], binned: Callable[..., np.ndarray]
) -> None:
    rng = np.random.default_rng(5)
    values = binned(np.concatenate([ar1(rng, 100, 1200, t) for t in (20.0, 60.0)]), 10)
    alarmed = np.zeros(200, dtype=bool)
    for count in range(6, 121, 6):
        grid = noise_grid((np.arange(count) + 0.5) * 10.0, 10.0)
        alarmed |= is_ruled_out(values[:, :count], np.zeros(200), grid)
    assert alarmed.mean() < 0.10
