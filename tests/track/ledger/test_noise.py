"""What a receiver adds to an angle, told from what a helm does."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.ledger import RUN, SAILED, UPWIND, Baseline, LedgerRows, split
from cringle.track.ledger.noise import FEWEST_PAIRS, white_noise_deg
from cringle.track.simulator.noise import wander

ROWS = 4000
ALL = np.ones(ROWS, dtype=bool)


def helm(seed: int, spread: float = 3.0, memory: float = 8.0) -> np.ndarray:
    return 44.0 + wander(np.random.default_rng(seed), (ROWS,), spread=spread, memory=memory)


@pytest.mark.parametrize("noise", [0.0, 0.5, 1.1, 2.2, 4.0])
def test_the_noise_comes_back_and_the_helm_is_left_alone(noise: float) -> None:
    found = [
        white_noise_deg(helm(seed) + noise * np.random.default_rng(900 + seed).standard_normal(ROWS), ALL)
        for seed in range(20)
    ]
    assert np.sqrt(np.mean(np.square(found))) == pytest.approx(noise, abs=0.4 if noise < 1.0 else 0.12)


def test_a_smooth_helm_has_none() -> None:
    assert white_noise_deg(44.0 + 3.0 * np.sin(np.arange(ROWS) / 5.0), ALL) == 0.0


def test_turns_and_gaps_do_not_count() -> None:
    angle = helm(1, spread=0.0)
    angle[::50] = np.nan
    angle[1000:] += 60.0
    assert white_noise_deg(angle, ALL) == 0.0


def test_too_few_seconds_say_nothing() -> None:
    noisy = 44.0 + np.random.default_rng(2).standard_normal(ROWS)
    assert white_noise_deg(noisy[: FEWEST_PAIRS - 1], ALL[: FEWEST_PAIRS - 1]) == 0.0
    assert white_noise_deg(noisy, ~ALL) == 0.0
    assert white_noise_deg(np.array([]), np.array([], dtype=bool)) == 0.0


@given(st.floats(0.0, 5.0), st.integers(0, 50))
def test_it_is_never_negative_and_not_above_the_whole_scatter(noise: float, seed: int) -> None:
    angle = helm(seed) + noise * np.random.default_rng(seed).standard_normal(ROWS)
    found = white_noise_deg(angle, ALL)
    assert 0.0 <= found <= np.sqrt(0.5 * np.mean(np.diff(angle) ** 2)) + 1e-9


@pytest.mark.parametrize(("kind", "target"), [(UPWIND, 44.0), (RUN, 150.0)])
def test_noise_no_longer_passes_for_steering(kind: int, target: float) -> None:
    """Split with noise on the angle: the angle part is that without noise, and trim takes nothing."""
    polar, rng = sketch_polar(), np.random.default_rng(3)
    true = target + wander(rng, (ROWS,), spread=4.0, memory=8.0)
    seen = true + 2.2 * rng.standard_normal(ROWS)
    heel = polar.best_heel(10.0, true)
    rows = LedgerRows(
        wind_kn=np.full(ROWS, 10.0),
        angle_deg=true,
        speed_kn=0.95 * polar.speed(10.0, true, heel),
        heel_deg=heel,
        kind=np.full(ROWS, kind, dtype=np.int8),
        leg=np.zeros(ROWS, dtype=np.int64),
        charge=np.full(ROWS, SAILED, dtype=np.int8),
    )
    noise = white_noise_deg(seen, ALL)
    clean, raw, mended = (
        split(LedgerRows(**{**vars(rows), "angle_deg": angle, "angle_noise_deg": sd}), Baseline(polar))
        for angle, sd in ((true, 0.0), (seen, 0.0), (seen, noise))
    )
    assert raw.by_part["angle"] > clean.by_part["angle"] + (15.0 if kind == UPWIND else 4.0), "else it does"
    assert_allclose(mended.by_part["angle"], clean.by_part["angle"], atol=0.0008 * ROWS)
    assert_allclose(mended.total_s, raw.total_s, rtol=1e-12)
