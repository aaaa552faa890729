"""What a boat is doing, second by second; and short stretches given to their neighbours."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.simulator.options import SimOptions
from cringle.track.wind.states import SHORTEST_S, State, sliding_mean, spans_of, states_of


def test_states_of_a_race(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    state = states_of(found.log, found.wind).state
    assert (state[10:45] == State.STILL).all()
    assert np.isin(state[260:340], (State.SLOW, State.STILL)).all()
    for leg in found.truth.legs:
        rows = slice(*(int((at - found.truth.start).total_seconds()) for at in (leg.start, leg.end)))
        wanted = {"up": State.UP, "run": State.RUN, "reach": State.REACH}[leg.kind]
        assert (state[rows] == wanted).mean() > (0.5 if leg.kind == "reach" else 0.9)


def test_a_tow_straight_to_windward_is_no_beat(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    state = states_of(found.log, found.wind).state
    straight = np.abs(found.wind.angle_deg(found.log.series.cog)) < 20.0
    towed = np.convolve(straight, np.ones(45), mode="same") >= 44
    assert not (state[towed & (np.arange(towed.size) < 170)] == State.UP).any()


def test_sliding_mean_against_a_loop() -> None:
    values = np.random.default_rng(0).standard_normal(50)
    values[[3, 4, 20]] = np.nan
    loop = [np.nanmean(values[max(row - 2, 0) : row + 3]) for row in range(50)]
    assert_allclose(sliding_mean(values, 5), loop)
    assert np.isnan(sliding_mean(np.full(9, np.nan), 3)).all()


@given(st.lists(st.integers(0, 6), min_size=1, max_size=120))
def test_spans_cover_everything_once(states: list[int]) -> None:
    spans = spans_of(np.array(states, dtype=np.int8))
    assert spans[0].first == 0
    assert spans[-1].end == len(states)
    assert all(before.end == after.first for before, after in pairwise(spans))
    assert len(spans) == 1 or all(one.seconds >= SHORTEST_S for one in spans)
