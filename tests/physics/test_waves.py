"""Waves of a wind, and added resistance in them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import waves


def test_grows_with_the_square_of_the_height(sportsboat, sea):
    low, high = waves.head_sea_resistance(sportsboat, sea, [0.2, 0.4])
    assert_allclose(high, 4 * low)


def test_flat_water_adds_nothing(sportsboat, sea):
    assert waves.head_sea_resistance(sportsboat, sea, 0.0) == 0.0


def test_only_waves_from_ahead_cost_and_both_tacks_alike():
    angle = np.linspace(-np.pi, np.pi, 73)
    share = waves.share_from_ahead(angle)
    assert_allclose(share, share[::-1], atol=1e-12)
    assert_allclose(share[np.abs(angle) > np.pi / 2 + 1e-9], 0.0)
    assert share.max() == 1.0 and share[36] == 1.0


def test_limit_of_the_method():
    assert_allclose(waves.highest_sea(6.4), 0.569, atol=1e-3)


def test_length_must_be_positive():
    with pytest.raises(InputError, match="length"):
        waves.highest_sea(0.0)


def test_a_sea_by_hand():
    assert_allclose(waves.fetch_limited_height(10.0, 9806.65), 0.0016 * 10.0 * np.sqrt(1000.0))


def test_a_sea_grows_with_the_wind_and_the_root_of_the_fetch():
    height = waves.fetch_limited_height([0.0, 4.0, 8.0], 6000.0)
    assert_allclose(height, [0.0, height[1], 2.0 * height[1]])
    assert_allclose(waves.fetch_limited_height(4.0, 24000.0), 2.0 * height[1])


@pytest.mark.parametrize(("wind", "fetch", "name"), [(-1.0, 6000.0, "wind"), (5.0, 0.0, "fetch")])
def test_impossible_seas_are_refused(wind, fetch, name):
    with pytest.raises(InputError, match=name):
        waves.fetch_limited_height(wind, fetch)


def test_nan_stays_nan():
    assert np.isnan(waves.fetch_limited_height(np.nan, 6000.0))
    assert np.isnan(waves.share_from_ahead(np.nan))
