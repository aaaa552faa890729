from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.lanes import LanePolar
from cringle.speed.shadow import (
    SHADOW,
    InWake,
    Shadow,
    clear_air,
    drawn_shadows,
    shadow_interval,
    wake_direction_deg,
)

ANGLE = np.arange(30.0, 181.0, 5.0)
POLAR = LanePolar(10.0, ANGLE, 6.0 - 0.0004 * (ANGLE - 100.0) ** 2, np.full(ANGLE.size, 1.0))


def lost(**place):
    return -clear_air(POLAR, Shadow(), point="up", place=InWake(**place), seconds=60.0).gain_m


def test_the_deficit_falls_with_distance_and_to_the_side():
    shadow = Shadow()
    assert_allclose(shadow.missing(1.0, 0.0), SHADOW["deficit"].value)
    assert_allclose(shadow.missing(1.0 + shadow.reach, 0.0), SHADOW["deficit"].value / math.e)
    assert shadow.missing(3.0, 1.0) < shadow.missing(3.0, 0.0)
    assert shadow.missing(3.0, 1.0) == shadow.missing(3.0, -1.0)
    assert shadow.missing(-1.0, 0.0) == 0.0


def test_the_wake_widens():
    shadow = Shadow()
    near, far = (shadow.missing(d, 1.0) / shadow.missing(d, 0.0) for d in (1.0, 8.0))
    assert far > near


def test_clear_air_is_worth_less_farther_away():
    assert lost(behind_m=20.0, mast_height_m=10.0) > lost(behind_m=60.0, mast_height_m=10.0) > 0.0
    assert lost(behind_m=60.0, mast_height_m=10.0, beside_m=60.0) < 0.1


def test_speed_falls_as_the_polar_grows():
    found = clear_air(POLAR, Shadow(), point="up", place=InWake(10.0, 10.0), seconds=60.0)
    told = dict(found.numbers)
    assert_allclose(told["lost_speed_percent"], told["missing_wind_percent"])
    assert_allclose(found.break_even, -found.gain_m)


def test_the_wake_lies_along_the_apparent_wind():
    speed = POLAR.speed(45.0) * 3600 / 1852
    along, across = 10.0 + speed * math.cos(math.pi / 4), speed * math.sin(math.pi / 4)
    assert_allclose(wake_direction_deg(POLAR, 45.0), math.degrees(math.atan2(across, along)))


def test_draws_keep_their_sense_and_their_spread():
    drawn = drawn_shadows(200)
    deficit = np.array([one.deficit for one in drawn])
    assert_allclose(
        np.percentile(deficit, (5, 95)), (SHADOW["deficit"].low, SHADOW["deficit"].high), atol=0.01
    )
    assert all(0.0 < one.deficit < 1.0 for one in drawn)


def test_the_interval_of_boat_and_shadow_together():
    place = InWake(30.0, 10.0)
    drawn = [clear_air(POLAR, one, point="up", place=place, seconds=60.0) for one in drawn_shadows(60)]
    best = clear_air(POLAR, Shadow(), point="up", place=place, seconds=60.0)
    gain, even = shadow_interval(best, drawn)
    assert gain[0] < best.gain_m < gain[1]
    assert_allclose((-gain[1], -gain[0]), even)
    with pytest.raises(InputError, match="no draws"):
        shadow_interval(best, [])


@pytest.mark.parametrize("bad", [{"behind_m": -1.0}, {"mast_height_m": 0.0}, {"beside_m": 1e5}])
def test_impossible_places_are_refused(bad):
    with pytest.raises(OutOfRangeError):
        InWake(**{"behind_m": 30.0, "mast_height_m": 10.0, **bad})


@pytest.mark.parametrize("bad", [{"deficit": 1.0}, {"reach": 0.0}, {"spreading": -0.1}])
def test_impossible_shadows_are_refused(bad):
    with pytest.raises(OutOfRangeError, match="shadow"):
        Shadow(**bad)


def test_an_impossible_time_is_refused():
    with pytest.raises(OutOfRangeError, match="time in the shadow"):
        clear_air(POLAR, Shadow(), point="up", place=InWake(30.0, 10.0), seconds=0.0)
