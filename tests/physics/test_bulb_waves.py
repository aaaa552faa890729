"""What is left of the wave making of a bulb at its depth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.bulb_waves import wave_making_share
from cringle.physics.foils import Bulb


@pytest.fixture(scope="module")
def deep(appendages):
    """Return foils with a bulb of 0.03 of the keel's 0.045 m3, its centre 1.50 m down."""
    return replace(appendages, bulb=Bulb(1.3, 0.26, 0.03, 1.50))


def test_by_hand(deep, sportsboat):
    fin = (0.045 * (0.215 + 0.85) - 0.03 * 1.50) / 0.015
    speed = 0.35 * np.sqrt(9.80665 * 6.4)
    kept = np.exp(-9.80665 / speed**2 * (1.50 - fin))
    got = wave_making_share(sportsboat, deep, 0.35, bulb_decay=1.0)
    assert_allclose(got, (0.015 + 0.03 * kept) / 0.045)


def test_no_decay_keeps_the_regression(deep, sportsboat):
    assert_allclose(wave_making_share(sportsboat, deep, [0.1, 0.3, 0.6], bulb_decay=0.0), 1.0)


@given(st.floats(0.0, 1.4), st.floats(0.01, 0.5), st.floats(0.0, 2.0))
def test_grows_with_speed_and_stays_between_fin_and_all(deep, sportsboat, froude, more, decay):
    slow, fast = wave_making_share(sportsboat, deep, [froude, froude + more], bulb_decay=decay)
    assert 1.0 / 3.0 - 1e-12 <= slow <= fast <= 1.0 + 1e-12


def test_without_a_bulb_or_its_volume_nothing_changes(appendages, sportsboat):
    for one in (appendages, replace(appendages, bulb=None)):
        assert_allclose(wave_making_share(sportsboat, one, [0.2, 0.5], bulb_decay=1.0), 1.0)


def test_a_bulb_no_deeper_than_the_fin_is_no_bulb(appendages, sportsboat):
    high = replace(appendages, bulb=Bulb(1.3, 0.26, 0.03, 0.5))
    assert_allclose(wave_making_share(sportsboat, high, 0.3, bulb_decay=1.0), 1.0)


def test_at_rest_only_the_fin_is_left(deep, sportsboat):
    assert_allclose(wave_making_share(sportsboat, deep, 0.0, bulb_decay=1.0), 1.0 / 3.0)


def test_impossible_volumes_and_speeds_are_refused(deep, sportsboat):
    with pytest.raises(InputError, match="volume"):
        Bulb(1.0, 0.2, -0.1)
    with pytest.raises(InputError, match="froude"):
        wave_making_share(sportsboat, deep, -0.1, bulb_decay=1.0)
