"""What a log tells about a turn."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.plays.observed import helm_times, turn_seconds


def ramp(seconds, before=40.0, turn=90.0, rows=61, middle=30):
    time = np.arange(rows) - middle
    return before + turn * np.clip(time / seconds + 0.5, 0.0, 1.0)


@pytest.mark.parametrize("seconds", [4.0, 6.5, 12.0])
@pytest.mark.parametrize("turn", [90.0, -85.0])
def test_a_steady_turn_takes_as_long_as_it_takes(seconds, turn):
    found = turn_seconds(ramp(seconds, turn=turn), 30, before_deg=40.0, turn_deg=turn)
    assert_allclose(found, seconds, atol=0.3)


def test_another_turn_of_the_circle_makes_no_difference():
    found = turn_seconds(ramp(6.0) + 720.0, 30, before_deg=40.0, turn_deg=90.0)
    assert_allclose(found, 6.0, atol=0.3)


def test_the_ends_of_the_log_are_no_obstacle():
    assert_allclose(turn_seconds(ramp(6.0, rows=36), 30, before_deg=40.0, turn_deg=90.0), 6.0, atol=0.3)


@pytest.mark.parametrize(
    ("bow", "turn"),
    [
        (np.full(61, 40.0), 90.0),
        (np.full(61, 130.0), 90.0),
        (np.full(61, np.nan), 90.0),
        (ramp(6.0), 0.0),
        (ramp(6.0)[:2], 90.0),
    ],
)
def test_what_the_log_does_not_show_is_unknown(bow, turn):
    assert turn_seconds(bow, min(30, bow.size - 1), before_deg=40.0, turn_deg=turn) is None


def test_the_time_is_shared_as_the_play_plans(library):
    found = helm_times(library["tack"].play, 9.0)
    assert found == {"turn_up": 4.0, "turn_down": 5.0}


def test_a_play_in_which_nobody_turns(make, act):
    assert helm_times(make([act("a")]), 9.0) == {}
