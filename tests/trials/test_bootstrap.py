from __future__ import annotations

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.trials import bootstrap
from cringle.trials.bootstrap import block_length, block_means, resample


def test_blocks_of_all_values_give_the_mean_itself() -> None:
    values = np.random.default_rng(1).standard_normal(50)
    assert block_means(values, 50, resamples=20, seed=1) == pytest.approx(values.mean())


def test_a_resample_is_a_mean_of_whole_blocks() -> None:
    values = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 5.0])
    sums = {sum(values[(start + k) % 6] for k in range(2)) for start in range(6)}
    possible = {a + b + c for a in sums for b in sums for c in sums}
    found = block_means(values, 2, resamples=200, seed=3) * 6.0
    assert {round(one, 9) for one in found} <= possible


def test_the_rest_is_filled_with_a_cut_block() -> None:
    values = np.arange(7.0)
    found = block_means(values, 3, resamples=300, seed=4)
    assert found.min() >= 0.0
    assert found.max() <= 6.0
    assert found.mean() == pytest.approx(3.0, abs=0.2)


def test_chunks_do_not_change_the_count(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bootstrap, "CHUNK", 40)
    assert block_means(np.arange(12.0), 3, resamples=101, seed=1).size == 101


@pytest.mark.parametrize("block", [0, 11])
def test_blocks_that_cannot_be_are_refused(block: int) -> None:
    with pytest.raises(InputError, match="blocks of"):
        block_means(np.arange(10.0), block, resamples=5, seed=1)


def test_white_noise_wants_short_blocks_and_a_drift_long_ones() -> None:
    rng = np.random.default_rng(5)
    white = rng.standard_normal(2000)
    assert block_length(white) <= 10
    assert block_length(np.cumsum(white)) > 40


def test_the_seed_makes_it_repeatable() -> None:
    values = np.random.default_rng(6).standard_normal(300)
    assert resample(values, seed=9) == resample(values, seed=9)
    assert resample(values, block=10, resamples=100, seed=9) != resample(
        values, block=10, resamples=100, seed=8
    )
