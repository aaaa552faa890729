from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from cringle.track.reading.clock import (
    Coarse,
    find_coarse,
    repair_spikes,
    spread_coarse,
    suspect_rollover,
    to_datetime,
    unwrap_days,
)


def seconds(*values: float) -> np.ndarray:
    return np.rint(np.array(values) * 1e6).astype(np.int64)


def moving(times: np.ndarray) -> np.ndarray:
    return np.zeros(len(times), dtype=bool)


def stepped(true: np.ndarray, step: float) -> np.ndarray:
    return seconds(*(np.floor(true / step) * step))


def test_midnight_adds_a_day() -> None:
    clock = np.array([86398.0, 86399.0, 0.0, 1.0, 86399.5, 2.0])
    assert unwrap_days(clock, 100.0).tolist() == [100, 100, 101, 101, 100, 101]


def test_a_single_wrong_stamp_is_put_between_its_neighbours() -> None:
    times, count = repair_spikes(seconds(0, 1, 500, 3, 4, -90, 6))
    assert count == 2
    assert_array_equal(times, seconds(0, 1, 2, 3, 4, 5, 6))


def test_a_pause_is_no_spike() -> None:
    times, count = repair_spikes(seconds(0, 1, 500, 501, 502))
    assert count == 0
    assert_array_equal(times, seconds(0, 1, 500, 501, 502))


def test_a_fine_clock_is_left_alone() -> None:
    times = seconds(*range(20))
    assert find_coarse(times, moving(times)) is None


def test_steps_of_ten_seconds_are_found_and_spread() -> None:
    true = np.arange(46.0, 400.0, 2.0)
    times = stepped(true, 10.0)
    coarse = find_coarse(times, moving(times))
    assert coarse == Coarse(10e6, 2e6)
    assert_array_equal(spread_coarse(times, coarse, opening=True), seconds(*true))


def test_five_fixes_a_second_without_decimals() -> None:
    true = np.arange(0.0, 30.0, 0.2)
    times = stepped(np.round(true, 3), 1.0)
    coarse = find_coarse(times, moving(times))
    assert coarse is not None
    assert_allclose(spread_coarse(times, coarse, opening=True), true * 1e6, atol=2)


def test_a_lost_fix_moves_its_neighbours_by_less_than_one_spacing() -> None:
    true = np.delete(np.arange(0.0, 200.0, 2.0), 41)
    times = stepped(true, 10.0)
    coarse = find_coarse(times, moving(times))
    assert coarse is not None
    error = spread_coarse(times, coarse, opening=True) - true * 1e6
    assert np.abs(error).max() < 2e6
    assert (error == 0).mean() > 0.9


def test_a_gap_stays_a_gap() -> None:
    true = np.concatenate((np.arange(0.0, 100.0, 2.0), np.arange(3706.0, 3800.0, 2.0)))
    times = stepped(true, 10.0)
    coarse = find_coarse(times, moving(times))
    assert coarse is not None
    assert_array_equal(spread_coarse(times, coarse, opening=True), seconds(*true))


def test_repeated_sentences_are_not_a_coarse_clock() -> None:
    times = np.repeat(seconds(*range(20)), 2)
    repeated = np.arange(40) % 2 == 1
    assert find_coarse(times, repeated) is None


@given(start=st.integers(0, 9), count=st.integers(45, 90), spacing=st.sampled_from([1, 2, 5]))
def test_any_phase_is_rebuilt(start: int, count: int, spacing: int) -> None:
    first = start - start % spacing
    true = np.arange(count) * spacing + float(first)
    times = stepped(true, 10.0)
    coarse = find_coarse(times, moving(times))
    assert coarse is not None
    assert_allclose(spread_coarse(times, coarse, opening=True), true * 1e6, atol=1)


def test_a_date_a_cycle_too_early_is_reported_with_the_guess() -> None:
    now = datetime(2026, 6, 1, tzinfo=UTC)
    shift = suspect_rollover(datetime(2006, 9, 17, 12, tzinfo=UTC), now)
    assert shift is not None
    assert (shift.guess, shift.weeks) == (datetime(2026, 5, 3, 12, tzinfo=UTC), 1024)
    twice = suspect_rollover(datetime(1987, 2, 1, 12, tzinfo=UTC), now)
    assert twice is not None
    assert (twice.guess, twice.weeks) == (datetime(2026, 5, 3, 12, tzinfo=UTC), 2048)


@pytest.mark.parametrize("year", [2008, 2014, 2026])
def test_a_date_that_cannot_be_shifted_into_the_past_is_fine(year: int) -> None:
    assert suspect_rollover(datetime(year, 7, 14, tzinfo=UTC), datetime(2026, 6, 1, tzinfo=UTC)) is None


def test_datetimes() -> None:
    assert to_datetime(1_500_000) == datetime(1970, 1, 1, 0, 0, 1, 500_000, tzinfo=UTC)
