"""Marks given by a person move roundings to where the boat was nearest."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.track.race.legs import find_legs
from cringle.track.race.marks import Course
from cringle.track.simulator.options import SimOptions


def test_a_given_mark_makes_its_roundings_surer(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    plain = next(one for one in found.structure.roundings if one.mark == "windward")
    course = Course({"windward": (plain.lat_deg, plain.lon_deg)})
    moved = find_legs(found.log, found.wind, course)
    same = next(one for one in moved.roundings if one.mark == "windward")
    assert abs(same.row - plain.row) <= 3
    assert same.confidence > plain.confidence
    mark = next(one for one in moved.marks if one.name == "windward")
    assert mark.given


def test_a_mark_far_away_makes_them_doubtful(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    far = find_legs(found.log, found.wind, Course({"windward": (54.0, -5.0)}))
    plain = next(one for one in found.structure.roundings if one.mark == "windward")
    same = next(one for one in far.roundings if one.mark == "windward")
    assert same.row == plain.row
    assert_allclose(same.confidence, 0.5 * plain.confidence)


def test_a_position_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match="latitude"):
        Course({"windward": (154.0, -5.0)})
