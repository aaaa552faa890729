from __future__ import annotations

import numpy as np
import pytest

from cringle.track.heel.pattern import heel_pattern

CLOCK = np.arange(640.0)


def test_a_quick_swing_is_hunting():
    found = heel_pattern(5.0 * np.sin(2.0 * np.pi * CLOCK / 6.4))
    assert found is not None
    assert found.name == "hunting"
    assert found.period_s == pytest.approx(6.4)
    assert found.quick_share > 0.95


def test_a_slow_swing_is_slow_to_react():
    found = heel_pattern(5.0 * np.sin(2.0 * np.pi * CLOCK / 32.0))
    assert found is not None
    assert found.name == "slow to react"
    assert found.period_s == pytest.approx(32.0)


def test_little_wander_is_steady():
    rng = np.random.default_rng(2)
    found = heel_pattern(rng.standard_normal(640))
    assert found is not None
    assert found.name == "steady"
    assert found.sd_deg == pytest.approx(1.0, rel=0.1)


def test_a_dead_sensor_is_steady():
    found = heel_pattern(np.full(640, 4.0))
    assert found is not None
    assert found.name == "steady"
    assert found.sd_deg == 0.0


def test_a_part_with_gaps_is_left_out():
    values = 5.0 * np.sin(2.0 * np.pi * CLOCK / 6.4)
    values[300:640:20] = np.nan
    found = heel_pattern(values)
    assert found is not None
    assert found.period_s == pytest.approx(6.4)


def test_too_short_to_tell():
    assert heel_pattern(np.zeros(63)) is None
    assert heel_pattern(np.full(640, np.nan)) is None
