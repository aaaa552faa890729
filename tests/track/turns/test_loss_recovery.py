"""How the pace comes back: against curves whose memory and depth are known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import curve_fit

from cringle.track.turns.loss_recovery import (
    MEMORIES_S,
    USUAL_MEMORY_S,
    Recovery,
    Turned,
    recoveries,
)

EVERY = 120
SETTLED = 0.97


def pace(
    memory: float, depths: list[float], *, noise: float = 0.0, seed: int = 1
) -> tuple[np.ndarray, list[Turned]]:
    """Return the pace of a log with a turn every two minutes, and the turns."""
    rng = np.random.default_rng(seed)
    rows = np.arange(EVERY * (len(depths) + 1))
    made = np.full(rows.size, SETTLED)
    turns = []
    for number, depth in enumerate(depths, start=1):
        row = number * EVERY
        after = rows >= row
        made = made - np.where(after, depth * np.exp(-(rows - row) / memory), 0.0)
        turns.append(Turned(row, row + EVERY - 5, SETTLED))
    return made + noise * rng.standard_normal(rows.size), turns


@pytest.mark.parametrize("memory", [4.0, 7.0, 9.0, 15.0])
def test_memory_and_depth_come_back(memory: float) -> None:
    found = recoveries(*pace(memory, [0.5, 0.7, 0.9, 0.4, 0.8, 0.6]))
    assert all(one is not None for one in found)
    nearest = MEMORIES_S[np.abs(MEMORIES_S - memory).argmin()]
    step = MEMORIES_S[1] / MEMORIES_S[0]
    for one, depth in zip(found, [0.5, 0.7, 0.9, 0.4, 0.8, 0.6], strict=True):
        assert one is not None
        assert nearest / step**2 < one.memory_s < nearest * step**2
        ten = np.array([10.0])
        assert_allclose(one.missing(ten), depth * np.exp(-ten / memory), rtol=0.05, atol=0.003)
        assert one.settled == pytest.approx(SETTLED, rel=0.01)


def test_in_noise_the_log_knows_its_memory_better_than_one_turn() -> None:
    depths = [0.6] * 16
    spread = {}
    for count in (2, 16):
        memories = []
        for seed in range(30):
            made, turns = pace(11.0, depths[:count], noise=0.03, seed=seed)
            found = recoveries(made, turns)[0]
            assert found is not None
            memories.append(found.memory_s)
        spread[count] = float(np.std(np.log(memories)))
    assert spread[16] < 0.6 * spread[2]


def test_one_turn_without_noise_is_that_of_a_general_fitter() -> None:
    """The same least squares by SciPy's curve_fit, memory free."""
    made, turns = pace(9.0, [0.8], noise=0.002, seed=5)
    seconds = np.arange(8.0, 60.0)
    want, _ = curve_fit(
        lambda t, settled, depth, memory: settled - depth * np.exp(-t / memory),
        seconds,
        made[turns[0].row + 8 : turns[0].row + 60],
        p0=(1.0, 0.5, 8.0),
    )
    found = recoveries(made, turns)[0]
    assert found is not None
    assert_allclose([found.settled, found.depth], want[:2], rtol=0.05)
    assert found.memory_s == pytest.approx(want[2], rel=0.06)


def test_without_a_dip_there_is_nothing_to_wait_for() -> None:
    found = recoveries(*pace(9.0, [0.0, 0.0]))
    assert found[0] is not None
    assert found[0].depth == pytest.approx(0.0, abs=1e-9)
    assert found[0].back_s(0.95) == 0.0


def test_a_boat_that_stopped_is_no_curve() -> None:
    made, turns = pace(9.0, [0.6, 0.6])
    made[turns[1].row : turns[1].row + 35] = 0.1
    found = recoveries(made, turns)
    assert found[1] is None


def test_too_little_sailed_says_nothing() -> None:
    made, turns = pace(9.0, [0.6])
    assert recoveries(made, [Turned(turns[0].row, turns[0].row + 12, SETTLED)]) == (None,)
    assert recoveries(np.full_like(made, np.nan), turns) == (None,)
    assert recoveries(made, []) == ()


def test_an_unknown_pace_before_is_left_out() -> None:
    made, turns = pace(9.0, [0.6, 0.5])
    blind = [Turned(one.row, one.end, float("nan")) for one in turns]
    for seen, unseen in zip(recoveries(made, turns), recoveries(made, blind), strict=True):
        assert seen is not None and unseen is not None
        assert unseen.settled == pytest.approx(seen.settled, abs=0.01)


def test_a_single_shallow_turn_keeps_to_the_usual_memory() -> None:
    made, turns = pace(20.0, [0.01], noise=0.02)
    found = recoveries(made, turns)[0]
    assert found is not None
    assert 0.4 * USUAL_MEMORY_S < found.memory_s < 2.5 * USUAL_MEMORY_S


@given(st.floats(0.06, 2.0), st.floats(3.0, 24.0), st.floats(0.5, 1.2))
def test_back_is_where_the_curve_reaches_the_share(depth: float, memory: float, settled: float) -> None:
    one = Recovery(settled, depth, memory)
    back = one.back_s(0.95)
    assert back >= 0.0
    if back > 0.0:
        assert_allclose(settled - one.missing(np.array([back]))[0], 0.95 * settled, rtol=1e-9)
