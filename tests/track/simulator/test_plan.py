"""Where a simulated boat tacks: she arrives near the mark, without a board too short."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.simulator.plan import SHORTEST_BOARD_S, LegPlan, Place, Reach, plan_leg

SLOPE = float(np.tan(np.radians(44.0)))


def steady_reach(rows: int = 3000, made_good: float = 2.0) -> Reach:
    clock = np.arange(rows, dtype=float)
    across = {1: -SLOPE * made_good * clock, -1: SLOPE * made_good * clock}
    return Reach(across, {1: made_good * clock, -1: made_good * clock}, SLOPE, made_good)


def sailed(seed: int, leg_m: float, right: float) -> tuple[LegPlan, float]:
    """Return a plan with random boards, and how far right of the mark the boat comes to it."""
    boards = np.random.default_rng(seed).uniform(60.0, 150.0, 100)
    plan = plan_leg(steady_reach(), Place(0, right, leg_m, 1), boards_s=boards, loss_m=0.0, overstand_m=5.0)
    side, x = 1, right
    for length in np.diff([0, *plan.turns, plan.end]):
        x += -side * SLOPE * 2.0 * float(length)
        side = -side
    return plan, x


@given(seed=st.integers(0, 10_000), leg_m=st.floats(600.0, 2000.0), right=st.floats(-50.0, 50.0))
def test_no_board_is_too_short_and_the_leg_is_done(seed: int, leg_m: float, right: float) -> None:
    plan, _ = sailed(seed, leg_m, right)
    assert plan.reached
    assert np.diff([0, *plan.turns, plan.end])[:-1].min() >= SHORTEST_BOARD_S
    assert_allclose(plan.end * 2.0, leg_m, atol=2.5)


def test_the_boat_comes_to_the_mark_but_for_a_few_that_run_out_of_room() -> None:
    """Where a board ends too near a layline she cannot make another: two or three plans of a hundred."""
    random = np.random.default_rng(5)
    off = [
        sailed(seed, random.uniform(600.0, 2000.0), random.uniform(-50.0, 50.0))[1] - 5.0
        for seed in range(1000)
    ]
    assert np.mean(np.abs(off) < 60.0) > 0.95
    assert np.abs(off).max() < 300.0


def test_on_port_she_tacks_on_the_layline_and_a_little_past_it() -> None:
    start = Place(0, -200.0, 600.0, -1)
    plan = plan_leg(steady_reach(), start, boards_s=np.full(9, 400.0), loss_m=0.0, overstand_m=10.0)
    on_port = (200.0 + SLOPE * 600.0) / (2.0 * SLOPE) / 2.0
    assert_allclose(plan.turns, [on_port + 10.0 / (2.0 * SLOPE * 2.0)], atol=1.5)
    assert_allclose(plan.end, 300, atol=2)


@pytest.mark.parametrize("rows", [100, 250])
def test_a_leg_cut_off_by_the_end_of_the_wind_says_so(rows: int) -> None:
    plan = plan_leg(
        steady_reach(rows), Place(0, 0.0, 5000.0, 1), boards_s=np.full(50, 60.0), loss_m=0.0, overstand_m=0.0
    )
    assert not plan.reached
