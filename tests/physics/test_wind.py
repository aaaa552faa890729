"""The wind triangle, the heeled plane and the gradient."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.wind import (
    apparent_wind,
    heeled_wind,
    log_law_ratio,
    power_law_ratio,
    surface_wind,
    true_wind,
    wind_speed_at_height,
)
from cringle.units import degrees_to_radians as rad
from cringle.units import radians_to_degrees as deg

speeds = st.floats(0.5, 40.0)
angles = st.floats(-np.pi + 1e-6, np.pi)
heels = st.floats(-1.2, 1.2)


@given(speeds, angles, st.floats(0.0, 20.0))
def test_triangle_round_trip(speed, angle, boat_speed):
    felt = apparent_wind(speed, angle, boat_speed=boat_speed)
    back = true_wind(felt.speed, felt.angle, boat_speed=boat_speed)
    assert_allclose(back.speed, speed, rtol=1e-9)
    assert_allclose(np.cos(back.angle - angle), 1.0, atol=1e-9)


@given(speeds, st.floats(0.4, 2.7), st.floats(0.0, 0.12))
def test_triangle_round_trip_with_leeway(speed, angle, leeway):
    boat_speed = 0.8 * speed
    for side in (1.0, -1.0):
        felt = apparent_wind(speed, side * angle, boat_speed=boat_speed, leeway=leeway)
        back = true_wind(felt.speed, felt.angle, boat_speed=boat_speed, leeway=leeway)
        assert_allclose([back.speed, back.angle], [speed, side * angle], rtol=1e-9)


@given(speeds, st.floats(0.001, np.pi - 0.001), st.floats(0.0, 20.0), st.floats(0.0, 0.2))
def test_port_mirrors_starboard(speed, angle, boat_speed, leeway):
    starboard = apparent_wind(speed, angle, boat_speed=boat_speed, leeway=leeway)
    port = apparent_wind(speed, -angle, boat_speed=boat_speed, leeway=leeway)
    assert_allclose([port.speed, port.angle], [starboard.speed, -starboard.angle], rtol=1e-12)


def test_leeway_brings_the_wind_forward():
    straight = apparent_wind(5.0, rad(42.0), boat_speed=2.8)
    drifting = apparent_wind(5.0, rad(42.0), boat_speed=2.8, leeway=rad(4.0))
    assert drifting.angle < straight.angle and drifting.speed < straight.speed


def test_no_wind_and_no_boat_speed():
    assert_allclose(apparent_wind(0.0, rad(60.0), boat_speed=3.0), (3.0, 0.0), atol=1e-15)
    assert_allclose(apparent_wind(3.0, rad(60.0), boat_speed=0.0), (3.0, rad(60.0)))
    assert_allclose(apparent_wind(5.0, np.pi, boat_speed=5.0).speed, 0.0, atol=1e-12)


@given(speeds, angles, heels, st.floats(1.0, 1.5))
def test_heel_never_raises_the_effective_speed(speed, angle, heel, more):
    upright = heeled_wind(speed, angle, heel=0.0)
    less = heeled_wind(speed, angle, heel=heel)
    least = heeled_wind(speed, angle, heel=np.clip(heel * more, -1.5, 1.5))
    assert_allclose(upright, (speed, angle), rtol=1e-12, atol=1e-12)
    assert least.speed <= less.speed * (1 + 1e-12) and less.speed <= speed * (1 + 1e-12)
    assert_allclose(heeled_wind(speed, angle, heel=-heel), less, rtol=1e-12)


@given(st.floats(0.5, 15.0), st.floats(0.01, 10.0), st.floats(1e-5, 0.05))
def test_gradient_rises_with_height(height, step, roughness):
    low, high = log_law_ratio(np.array([height, height + step]), 10.0, roughness=roughness)
    assert low < high
    low, high = power_law_ratio(np.array([height, height + step]), 10.0)
    assert low < high


@given(speeds, st.floats(0.5, 30.0), st.floats(0.5, 30.0), st.floats(1e-5, 0.05))
def test_height_conversion_goes_both_ways(speed, one, other, roughness):
    there = wind_speed_at_height(speed, one, other, roughness)
    assert_allclose(wind_speed_at_height(there, other, one, roughness), speed, rtol=1e-12)


def test_gradient_table():
    heights = np.array([1.0, 2.0, 3.0, 5.0, 8.0, 12.0])
    assert_allclose(
        log_law_ratio(heights, 10.0, roughness=0.0002),
        [0.7872, 0.8513, 0.8887, 0.9359, 0.9794, 1.0169],
        atol=5e-5,
    )
    assert_allclose(
        log_law_ratio(heights, 10.0, roughness=0.001),
        [0.7500, 0.8253, 0.8693, 0.9247, 0.9758, 1.0198],
        atol=5e-5,
    )
    assert_allclose(
        power_law_ratio(heights, 10.0), [0.7762, 0.8377, 0.8760, 0.9266, 0.9758, 1.0203], atol=5e-5
    )


def test_gradient_outside_its_range():
    assert np.isnan(log_law_ratio(0.0001, 10.0))
    assert np.isnan(log_law_ratio(np.nan, 10.0))
    assert np.isnan(power_law_ratio(-1.0, 10.0))


def test_surface_wind_solves_both_equations():
    speed = np.array([0.0, 0.5, 3.0, 8.0, 21.0, 40.0, np.nan])
    friction, roughness, drag = surface_wind(speed)
    assert_allclose((friction, roughness, drag), np.array(surface_wind(speed)))
    with np.errstate(divide="ignore", invalid="ignore"):
        back = friction / 0.40 * np.log(10.0 / roughness)
    assert_allclose(back[1:6], speed[1:6], rtol=1e-12)
    assert_allclose(drag[1:6], (friction[1:6] / speed[1:6]) ** 2, rtol=1e-12)
    assert friction[0] == roughness[0] == drag[0] == 0.0
    assert np.isnan([friction[-1], roughness[-1], drag[-1]]).all()


def test_scalar_array_and_nan():
    one = apparent_wind(6.0, 0.7, boat_speed=3.0)
    many = apparent_wind(np.array([6.0, np.nan, 6.0]), np.array([0.7, 0.7, np.nan]), boat_speed=3.0)
    assert np.ndim(one.speed) == 0
    assert_allclose([many.speed[0], many.angle[0]], one)
    assert np.isnan([many.speed[1], many.angle[1], many.speed[2], many.angle[2]]).all()
    assert apparent_wind(np.empty(0), 0.3, boat_speed=1.0).speed.shape == (0,)
    grid = apparent_wind(np.ones((3, 1)), np.linspace(0.1, 3.0, 4), boat_speed=0.5)
    assert grid.angle.shape == (3, 4)
    assert (np.abs(deg(grid.angle)) <= 180.0).all()


@pytest.mark.parametrize(
    "call",
    [
        lambda: apparent_wind(np.array([1.0, -2.0]), 0.5, boat_speed=1.0),
        lambda: apparent_wind(1.0, 0.5, boat_speed=-1.0),
        lambda: true_wind(-1.0, 0.5, boat_speed=1.0),
        lambda: wind_speed_at_height(-1.0, 2.0),
        lambda: wind_speed_at_height(5.0, 0.0),
        lambda: wind_speed_at_height(5.0, 2.0, 1e-5),
        lambda: surface_wind(500.0),
        lambda: surface_wind(-1.0),
    ],
)
def test_impossible_input_says_what_to_do(call):
    with pytest.raises(InputError) as caught:
        call()
    assert "found" in str(caught.value) and "accepted" in str(caught.value) and "Next:" in str(caught.value)


def test_the_message_names_the_row():
    with pytest.raises(InputError, match=r"true wind speed: found -2 in row 1"):
        apparent_wind(np.array([1.0, -2.0, -3.0]), 0.5, boat_speed=1.0)
