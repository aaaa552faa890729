"""Added resistance in waves."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.physics import waves


def test_grows_with_the_square_of_the_height(sportsboat, sea):
    low, high = waves.head_sea_resistance(sportsboat, sea, [0.2, 0.4])
    assert_allclose(high, 4 * low)


def test_flat_water_adds_nothing(sportsboat, sea):
    assert waves.wave_resistance(sportsboat, sea, waves.SeaState(0.0), wave_angle=0.0) == 0.0


def test_only_waves_from_ahead_cost_and_both_tacks_alike(sportsboat, sea):
    chop = waves.SeaState(0.25)
    angle = np.linspace(-np.pi, np.pi, 73)
    drag = waves.wave_resistance(sportsboat, sea, chop, wave_angle=angle)
    assert_allclose(drag, drag[::-1], atol=1e-9)
    assert_allclose(drag[np.abs(angle) > np.pi / 2 + 1e-9], 0.0)
    assert_allclose(drag.max(), waves.head_sea_resistance(sportsboat, sea, 0.25))


def test_factor_scales(sportsboat, sea):
    one = waves.wave_resistance(sportsboat, sea, waves.SeaState(0.25), wave_angle=0.5)
    two = waves.wave_resistance(sportsboat, sea, waves.SeaState(0.25, factor=2.0), wave_angle=0.5)
    assert_allclose(two, 2 * one)


def test_limit_of_the_method(sportsboat):
    assert_allclose(waves.highest_sea(6.4), 0.569, atol=1e-3)
    assert waves.sea_in_range(sportsboat, waves.SeaState(0.5))
    assert not waves.sea_in_range(sportsboat, waves.SeaState(0.6))


@pytest.mark.parametrize(("height", "factor"), [(-0.1, 1.0), (float("nan"), 1.0), (0.2, -1.0)])
def test_impossible_seas_are_refused(height, factor):
    with pytest.raises(OutOfRangeError):
        waves.SeaState(height, factor)


def test_length_must_be_positive():
    with pytest.raises(InputError, match="length"):
        waves.highest_sea(0.0)
