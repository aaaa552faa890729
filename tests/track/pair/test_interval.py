from __future__ import annotations

import numpy as np
import pytest

from cringle.track.pair.interval import mean_of, neighbour_correlation


def test_students_interval_by_the_table():
    """t(0.95, 4) = 2.132, NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2."""
    found = mean_of([1.0, 3.0, 2.0, 5.0, 4.0])
    values = np.array([1.0, 3.0, 2.0, 5.0, 4.0])
    assert neighbour_correlation(values) == pytest.approx(0.0, abs=0.11)
    assert found.value == 3.0
    assert found.low is not None and found.high is not None
    alike = neighbour_correlation(values)
    if alike == 0.0:
        assert found.high - 3.0 == pytest.approx(2.132 * values.std(ddof=1) / np.sqrt(5.0), rel=1e-3)
    assert found.high - 3.0 == pytest.approx(3.0 - found.low)


def test_one_value_has_no_interval():
    found = mean_of([4.0])
    assert (found.value, found.low, found.high) == (4.0, None, None)


def test_alike_neighbours_widen():
    rng = np.random.default_rng(3)
    kicks = rng.standard_normal(400)
    slow = np.convolve(kicks, np.ones(8) / 8.0, mode="valid")
    mixed = rng.permutation(slow)
    widths = [
        found.high - found.low
        for found in map(mean_of, (slow.tolist(), mixed.tolist()))
        if found.high and found.low
    ]
    assert widths[0] > 1.8 * widths[1]


def test_nine_times_in_ten_it_holds_the_truth():
    rng = np.random.default_rng(4)
    held = 0
    for _ in range(400):
        found = mean_of(rng.standard_normal(25).tolist())
        assert found.low is not None and found.high is not None
        held += found.low <= 0.0 <= found.high
    assert 0.86 <= held / 400 <= 0.96


def test_a_constant():
    found = mean_of([2.0] * 6)
    assert (found.low, found.value, found.high) == (2.0, 2.0, 2.0)


def test_json_names():
    assert set(mean_of([1.0, 2.0]).to_json("gain_m_per_min")) == {
        "gain_m_per_min",
        "gain_m_per_min_low",
        "gain_m_per_min_high",
    }
