"""Noise with a memory, and the wind: the moments they are said to have."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.simulator.noise import make_wind, smoothed, wander
from cringle.track.simulator.options import SimWeather


def test_wander_has_its_spread_and_its_memory() -> None:
    noise = wander(np.random.default_rng(3), (40, 20_000), spread=3.0, memory=8.0)
    assert_allclose(noise.std(), 3.0, rtol=0.02)
    assert_allclose(noise[:, 0].std(), 3.0, rtol=0.35)
    later = (noise[:, 8:] * noise[:, :-8]).mean() / noise.var()
    assert_allclose(later, np.exp(-1.0), atol=0.02)


def test_smoothed_follows_a_step() -> None:
    step = np.concatenate((np.zeros(10), np.ones(100)))
    out = smoothed(step, 5.0)
    assert_allclose(out[:10], 0.0)
    assert_allclose(out[14], 1.0 - np.exp(-1.0), atol=0.01)
    assert_allclose(smoothed(np.full(5, 7.0), 3.0), 7.0)


def test_wind_swings_shifts_and_gusts() -> None:
    weather = SimWeather(wind_kn=12.0, swing_deg=10.0, wander_deg=0.0, shift_deg=30.0, gust_share=0.15)
    wind = make_wind(weather, np.random.default_rng(5), boats=3, rows=9600)
    ramp = 30.0 * (np.arange(9600) / 9599 - 0.5)
    swing = wind.turn_deg - ramp
    assert_allclose([swing.max(), swing.min()], [10.0, -10.0], atol=0.01)
    assert_allclose(swing[:480], swing[480:960], atol=0.01)
    assert_allclose(wind.strength_kn.mean(), 12.0, rtol=0.05)
    assert_allclose(wind.strength_kn.std() / 12.0, 0.15, rtol=0.2)
    shared = np.corrcoef(wind.strength_kn)[0, 1]
    assert 0.55 < shared < 0.85
