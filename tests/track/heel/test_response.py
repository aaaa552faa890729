from __future__ import annotations

import numpy as np
import pytest

from cringle.track.heel.response import excursions, heel_response, surges

WIND = np.full(600, 10.0)


def out_of_band(lengths: list[int], size: float = 5.0, gap: int = 30) -> np.ndarray:
    error = np.zeros(600)
    row = 20
    for length in lengths:
        error[row : row + length] = size
        row += length + gap
    return error


def test_lengths_until_back_in_the_band():
    found = excursions(out_of_band([5, 10, 20]), WIND, band_deg=2.0)
    assert [one.seconds for one in found] == [5, 10, 20]
    assert all(one.worst_deg == 5.0 and one.cause == "other" for one in found)


def test_median_and_slow():
    found = heel_response(out_of_band([4, 6, 8, 10, 12]), WIND, band_deg=2.0)
    assert found is not None
    assert found.median_s == 8.0
    assert found.slow_s == pytest.approx(11.2)
    assert found.per_minute == pytest.approx(0.5)


def test_too_few_to_tell():
    assert heel_response(out_of_band([5, 5]), WIND, band_deg=2.0) is None


def test_a_single_second_is_the_sea():
    assert excursions(out_of_band([1, 1, 1]), WIND, band_deg=2.0) == ()


def test_gusts_and_lulls_by_the_wind_when_it_left():
    error = out_of_band([6] * 6)
    wind = WIND.copy()
    for place, one in enumerate(excursions(error, WIND, band_deg=2.0)):
        wind[one.row - 4 : one.row + 8] = 13.0 if place % 2 else 7.0
    causes = [one.cause for one in excursions(error, wind, band_deg=2.0)]
    assert causes == ["lull", "gust"] * 3


def test_a_time_out_that_runs_into_a_gap_is_left_out():
    error = out_of_band([6, 6])
    error[26] = np.nan
    assert [one.seconds for one in excursions(error, WIND, band_deg=2.0)] == [6]


def test_at_the_ends_of_the_log_nothing_is_whole():
    assert excursions(np.full(50, 9.0), WIND[:50], band_deg=2.0) == ()
    assert excursions(np.empty(0), np.empty(0), band_deg=2.0) == ()


def test_surges_are_sudden():
    sudden, slow = np.zeros(100), np.zeros(100)
    sudden[50:] = 8.0
    slow[40:] = np.minimum(np.arange(60) * 0.5, 8.0)
    assert surges(sudden, band_deg=2.0) == 1
    assert surges(slow, band_deg=2.0) == 0
