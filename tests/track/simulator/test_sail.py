"""One simulated boat: her positions are her velocities added up, and she rounds the marks in order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.modes import make_modes
from cringle.track.simulator.noise import make_wind
from cringle.track.simulator.options import SimOptions, SimWeather
from cringle.track.simulator.sail import Sailed, sail


@pytest.fixture
def sail_once(sketch: FrozenPolar) -> Callable[..., Sailed]:
    def once(seed: int = 0, rows: int = 4000, **changed: Any) -> Sailed:
        options = SimOptions(**changed)
        rng = np.random.default_rng(seed)
        wind = make_wind(options.weather, rng, boats=1, rows=rows)
        return sail(options, make_modes(options, sketch, wind, rng), wind, boat=0, rng=rng)

    return once


def test_positions_are_velocities_added_up(sail_once: Callable[..., Sailed]) -> None:
    sailed = sail_once()
    steps = np.diff(sailed.up)
    assert_allclose(steps, 0.5 * (sailed.velocity[1:, 1] + sailed.velocity[:-1, 1]), atol=1e-9)
    assert_allclose(sailed.right[: 60 - 1], sailed.right[0])


def test_the_course_is_sailed_in_order(sail_once: Callable[..., Sailed]) -> None:
    sailed = sail_once()
    assert [one.kind for one in sailed.legs] == ["up", "reach", "run"] * 2
    assert [one.mark for one in sailed.legs[-2:]] == ["offset", "finish"]
    assert all(before.end == after.start for before, after in zip(sailed.legs, sailed.legs[1:], strict=False))
    ends = [sailed.up[one.end] for one in sailed.legs if one.kind != "reach"]
    assert_allclose(ends, [1000.0, 0.0, 1000.0, 0.0], atol=25.0)
    assert sailed.whole


def test_tacks_are_on_beats_and_gybes_on_runs(sail_once: Callable[..., Sailed]) -> None:
    sailed = sail_once(seed=4)
    for one in sailed.manoeuvres:
        leg = next(leg for leg in sailed.legs if leg.start <= one.row < leg.end)
        assert one.kind == ("tack" if leg.kind == "up" else "gybe")
        before, after = (np.sin(np.radians(sailed.angle_deg[row])) for row in (one.row - 8, one.row + 8))
        assert before * after < 0.0


def test_an_upwind_finish_recalls_and_a_stream(sail_once: Callable[..., Sailed]) -> None:
    up = sail_once(finish="up")
    assert up.legs[-1].kind == "up"
    recalled = sail_once(recalls=2, rows=6000)
    assert len(recalled.starts) == 3
    assert recalled.gun == recalled.starts[-1]
    moved = sail_once(weather=SimWeather(stream_kn=1.0, stream_to_deg=315.0))
    assert_allclose(np.hypot(*moved.velocity[70]), 2.3, atol=0.6)


def test_wind_that_ends_too_soon_is_no_whole_race(sail_once: Callable[..., Sailed]) -> None:
    assert not sail_once(rows=900).whole
