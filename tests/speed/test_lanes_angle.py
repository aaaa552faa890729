from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.lanes import LanePolar, lane_polar
from cringle.speed.lanes_angle import beside_target, lower_lane, split_downwind


@pytest.fixture(scope="module")
def eleven(demo):
    return lane_polar(demo, 11.0)


def numbers(answer):
    return dict(answer.numbers)


def test_break_even_speed_makes_the_target_good(eleven):
    found = beside_target(eleven, point="up", lower_deg=4.0, seconds=60.0)
    told = numbers(found)
    cosine = math.cos(math.radians(told["twa_deg"]))
    made = told["target_speed_kn"] * math.cos(math.radians(told["target_twa_deg"]))
    assert_allclose(told["break_even_speed_kn"] * cosine, made)
    assert_allclose(found.break_even, 100 * (told["break_even_speed_kn"] / told["available_speed_kn"] - 1.0))
    assert_allclose(told["gain_m_per_min"], found.gain_m)


@pytest.mark.parametrize("point", ["up", "down"])
@pytest.mark.parametrize("lower", [-6.0, -3.0, 3.0])
def test_beside_the_target_nothing_is_gained_and_time_counts_in_full(eleven, point, lower):
    if point == "down" and lower > 0:
        lower = -12.0
    short = beside_target(eleven, point=point, lower_deg=lower, seconds=60.0)
    long = beside_target(eleven, point=point, lower_deg=lower, seconds=180.0)
    assert short.gain_m <= 0.02
    assert_allclose(long.gain_m, 3.0 * short.gain_m)
    assert short.break_even >= -0.1


def test_the_picture_shows_the_loss(eleven):
    found = beside_target(eleven, point="up", lower_deg=6.0, seconds=120.0)
    target, lower = found.tracks
    assert_allclose(lower.up_m[-1] - target.up_m[-1], found.gain_m)


def test_a_boat_as_fast_everywhere_pays_the_cosine():
    angle = np.arange(40.0, 181.0, 1.0)
    polar = LanePolar(10.0, angle, np.full(angle.size, 3600 / 1852), np.ones(angle.size))
    found = beside_target(polar, point="up", lower_deg=5.0, seconds=100.0)
    assert_allclose(found.gain_m, 100.0 * (math.cos(math.radians(45)) - math.cos(math.radians(40))))


def test_the_target_itself_and_impossible_times_are_refused(eleven):
    with pytest.raises(InputError, match="the target itself"):
        beside_target(eleven, point="up", lower_deg=0.0, seconds=60.0)
    with pytest.raises(OutOfRangeError, match="time in the lane"):
        beside_target(eleven, point="up", lower_deg=4.0, seconds=0.0)
    with pytest.raises(OutOfRangeError, match="true wind angle"):
        beside_target(eleven, point="up", lower_deg=-25.0, seconds=60.0)


def test_the_lower_lane_costs_two_gybes_and_pays_at_its_break_even(eleven):
    plain = lower_lane(eleven, seconds=60.0, gybe_loss_m=10.0, leg_minutes=6.0)
    assert_allclose(plain.gain_m, -20.0)
    even = lower_lane(
        eleven, seconds=60.0, gybe_loss_m=10.0, leg_minutes=6.0, clear_air_share=plain.break_even / 100
    )
    assert_allclose(even.gain_m, 0.0, atol=1e-9)


def test_lanes_lie_apart_by_the_angle_between_the_gybes():
    angle = np.arange(40.0, 181.0, 1.0)
    turn = np.radians(angle)
    speed = np.where(angle > 90, 6.0 - 4.0 * np.abs(turn - math.radians(140)), 3.0)
    polar = LanePolar(10.0, angle, speed, np.ones(angle.size))
    found = lower_lane(polar, seconds=100.0, gybe_loss_m=10.0, leg_minutes=5.0)
    told = numbers(found)
    metres = told["speed_kn"] * 1852 / 3600 * 100
    assert_allclose(told["lanes_apart_m"], metres * abs(math.sin(math.radians(2 * told["twa_deg"]))))


def test_following_long_enough_costs_a_gybe(eleven):
    found = split_downwind(eleven, seconds=60.0, gybe_loss_m=12.0, slowed_share=0.05)
    even = split_downwind(eleven, seconds=found.break_even, gybe_loss_m=12.0, slowed_share=0.05)
    assert_allclose(even.gain_m, 0.0, atol=1e-9)
    assert split_downwind(eleven, seconds=600.0, gybe_loss_m=12.0, slowed_share=0.05).gain_m > 0.0


def test_in_clear_air_gybing_away_only_costs(eleven):
    found = split_downwind(eleven, seconds=60.0, gybe_loss_m=12.0, slowed_share=0.0)
    assert found.gain_m == -12.0
    assert math.isnan(found.break_even)
    assert "buys nothing" in found.words


@pytest.mark.parametrize("bad", [{"gybe_loss_m": -1.0}, {"slowed_share": 1.0}, {"seconds": 1e5}])
def test_impossible_numbers_are_refused(eleven, bad):
    asked = {"seconds": 60.0, "gybe_loss_m": 12.0, "slowed_share": 0.05, **bad}
    with pytest.raises(OutOfRangeError):
        split_downwind(eleven, **asked)


def test_an_impossible_leg_is_refused(eleven):
    with pytest.raises(InputError, match="clear air"):
        lower_lane(eleven, seconds=60.0, gybe_loss_m=12.0, leg_minutes=0.0)
