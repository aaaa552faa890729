"""The first guess of the wind's direction: right for races, silent where a log does not tell."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from cringle.track.circle import difference_deg
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.options import SimOptions
from cringle.track.wind.axis import MiddleOfTurn, find_axis
from cringle.track.wind.samples import Samples, take_samples


def straight(course_deg: float, count: int = 60) -> Samples:
    seconds = np.arange(count) * 10.0 + 5.0
    full = np.full(count, course_deg)
    return Samples(10.0, seconds, full, np.full(count, 5.0), np.full(count, True))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_right_within_a_block(simulated: Callable[..., Any], sketch: FrozenPolar, seed: int) -> None:
    found = simulated(SimOptions(), seed)
    samples = take_samples(found.log)
    axis = find_axis(samples, sketch)
    assert axis is not None
    rows = samples.seconds.astype(int)
    inside = rows < found.truth.twd_deg.size
    off = difference_deg(axis.twd_deg[inside], found.truth.twd_deg[rows[inside]])
    assert np.abs(off).mean() < 15.0


def test_one_straight_course_tells_nothing(sketch: FrozenPolar) -> None:
    assert find_axis(straight(80.0), sketch) is None
    assert find_axis(straight(80.0, 5), sketch) is None


def test_turns_part_tacks_from_bearing_away(sketch: FrozenPolar) -> None:
    seconds = np.arange(120) * 10.0 + 5.0
    course = np.where((np.arange(120) // 9) % 2 == 0, 45.0, -45.0)
    samples = Samples(10.0, seconds, course, np.full(120, 5.0), np.full(120, True))
    turns = [MiddleOfTurn(90.0 * number, 0.0) for number in range(1, 13)]
    axis = find_axis(samples, sketch, turns)
    assert axis is not None
    assert np.abs(difference_deg(axis.twd_deg, 0.0)).max() <= 6.0
