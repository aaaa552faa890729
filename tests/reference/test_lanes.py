"""Outside checks of lanes: trigonometry done by hand, and facts of the trade."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cringle.boat.read import read_book_files
from cringle.speed.ensemble import members
from cringle.speed.lanes import LanePolar, lane_polar, with_interval
from cringle.speed.lanes_angle import beside_target
from cringle.speed.lanes_shift import layline, wind_shift
from cringle.speed.model import SpeedModel

PRACTICE = "common practice, no source"
HAND = "plane trigonometry, worked by hand"


@pytest.fixture(scope="module")
def demo(examples):
    files = read_book_files(examples)
    return SpeedModel.from_files(files.class_file, files.crew_file)


@pytest.fixture(scope="module")
def square():
    """Return a boat whose best angles are 45 and 135 degrees at 6 kn."""
    angle = np.arange(30.0, 181.0, 1.0)
    off = np.minimum(np.abs(angle - 45.0), np.abs(angle - 135.0))
    made = 6.0 * math.cos(math.radians(45.0)) - 0.004 * off**2
    speed = made / np.maximum(np.abs(np.cos(np.radians(angle))), 0.2)
    return LanePolar(10.0, angle, speed, np.full(angle.size, 0.6))


def test_shift_and_layline_by_hand(outside, square):
    shift = wind_shift(square, point="up", right_m=100.0, ahead_m=0.0, shift_deg=10.0)
    outside.close(
        id="LN01", what="100 m to the right, shift of 10 deg to the right: 100 sin 10 [m]", got=shift.gain_m,
        expected=17.36, atol=0.01, source=HAND, kind="arithmetic",
    )  # fmt: skip
    told = dict(layline(square, point="up", mark_right_m=0.0, mark_ahead_m=500.0).numbers)
    outside.close(
        id="LN02", what="mark 500 m dead to windward at 45 deg: layline 353.6 m, mark 707.1 m",
        got=(told["layline_m"], told["mark_m"]), expected=(353.6, 707.1), atol=0.06, source=HAND,
        kind="arithmetic",
    )  # fmt: skip


def test_break_even_by_hand(outside, square):
    found = dict(beside_target(square, point="up", lower_deg=5.0, seconds=60.0).numbers)
    outside.close(
        id="LN03", what="6 kn at 45 deg needs 6.60 kn at 50 deg to break even: 6 cos 45 / cos 50 [kn]",
        got=found["break_even_speed_kn"], expected=6.600, atol=0.001, source=HAND, kind="arithmetic",
    )  # fmt: skip


def test_lower_lane_upwind(outside, demo):
    polar = lane_polar(demo, 12.0)
    drawn = [lane_polar(one, 12.0) for one in members(demo, count=24)]
    found = with_interval(
        lambda one: beside_target(one, point="up", lower_deg=4.0, seconds=60.0), polar, drawn
    )
    outside.true(
        id="LN04", what="upwind in 12 kn, 4 deg lower than target loses, whole interval", kind="practice",
        ok=found.gain_m_90 is not None and found.gain_m_90[1] < 0.0,
        got=f"{found.gain_m:.1f} m a minute; {found.break_even:.1f} % more speed would reverse it",
        source=PRACTICE,
    )  # fmt: skip


def test_the_high_fast_lane_on_the_run(outside, demo):
    gains = []
    for wind in np.arange(9.0, 13.1, 1.0):
        polar = lane_polar(demo, float(wind))
        hot = 135.0 - polar.target_deg("down")
        gains.append(beside_target(polar, point="down", lower_deg=hot, seconds=60.0).gain_m)
    outside.within(
        id="LN05", what="run in 9 to 13 kn, the high fast lane at 135 deg against the target [m/min]",
        got=gains, low=-200.0, high=0.0, source=PRACTICE, kind="practice",
    )  # fmt: skip
