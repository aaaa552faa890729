"""Windage of hull, mast, rigging and people."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.assumptions import default_air_assumptions
from cringle.physics.wind import Wind, apparent_wind, wind_speed_at_height
from cringle.physics.windage import (
    AboveWater,
    WindageElement,
    lumped_windage,
    wind_at,
    windage_elements,
    windage_forces,
    windage_in_wind,
)

BOAT = AboveWater(6.6, 2.15, 0.62, 9.0, 0.085, 0.95, 40.0, 0.004, 4)


def test_elements_by_hand():
    by_name = {one.name: one for one in windage_elements(BOAT)}
    hull, people = by_name["hull"], by_name["people"]
    assert_allclose([hull.front_drag_area, hull.side_drag_area], [0.68 * 0.62 * 2.15, 0.68 * 0.62 * 6.6])
    assert_allclose(hull.height, 0.31)
    assert_allclose(people.front_drag_area, 4 * 0.56 * 0.5)
    assert_allclose(by_name["rigging"].front_drag_area, 1.1 * 0.004 * 40.0)
    assert_allclose(by_name["mast below the boom"].front_drag_area, 0.8 * 0.085 * 0.95)
    assert_allclose(by_name["mast behind the sail"].front_drag_area, 0.4 * 0.085 * 8.05)


def test_ahead_it_drags_abeam_it_pushes_sideways_astern_it_drives():
    post = WindageElement("post", 2.0, 3.0, 1.5)
    q = 0.5 * 1.225 * 100.0
    ahead, abeam, astern = (windage_in_wind(post, Wind(10.0, np.radians(a))) for a in (0.0, 90.0, 180.0))
    assert_allclose(ahead, (-2.0 * q, 0.0, 0.0), atol=1e-9)
    assert_allclose(abeam, (0.0, 3.0 * q, 3.0 * q * 1.5), atol=1e-9)
    assert_allclose(astern, (2.0 * q, 0.0, 0.0), atol=1e-9)


@given(st.floats(1.0, 15.0), st.floats(0.1, 3.0), st.floats(0.0, 6.0))
def test_both_tacks_alike_and_more_people_drag_more(speed, angle, boat_speed):
    few, many = (windage_elements(replace(BOAT, people=n)) for n in (2, 5))
    right = windage_forces(few, speed, true_wind_angle=angle, boat_speed=boat_speed)
    left = windage_forces(few, speed, true_wind_angle=-angle, boat_speed=boat_speed)
    assert_allclose(left, right, atol=1e-9)
    more = windage_forces(many, speed, true_wind_angle=angle, boat_speed=boat_speed)
    assert abs(more.drive) >= abs(right.drive) and more.side >= right.side >= 0.0


def test_each_element_has_the_wind_of_its_own_height():
    low, high = (wind_at(h, 6.0, true_wind_angle=0.7, boat_speed=3.0) for h in (0.5, 8.0))
    assert low.speed < high.speed and low.angle < high.angle
    there = wind_speed_at_height(6.0, 10.0, 0.5)
    assert_allclose(low, apparent_wind(there, 0.7, boat_speed=3.0))
    assert_allclose(
        wind_at(10.0, 6.0, true_wind_angle=0.7, boat_speed=3.0), apparent_wind(6.0, 0.7, boat_speed=3.0)
    )
    rough = wind_at(0.5, 6.0, true_wind_angle=0.7, boat_speed=3.0, roughness=0.001)
    assert rough.speed < low.speed


def test_the_lump_is_close_to_the_sum():
    elements = windage_elements(BOAT)
    lump = (lumped_windage(elements),)
    speed, angle = np.meshgrid([3.0, 5.0, 8.0, 10.0], np.radians([35.0, 45.0, 60.0, 90.0]))
    each = windage_forces(elements, speed, true_wind_angle=angle, boat_speed=2.8)
    one = windage_forces(lump, speed, true_wind_angle=angle, boat_speed=2.8)
    size = np.hypot(each.drive, each.side)
    assert_allclose(np.hypot(one.drive - each.drive, one.side - each.side) / size, 0.0, atol=0.03)
    assert_allclose(one.heeling_moment, each.heeling_moment, rtol=0.15)


def test_assumptions_are_used():
    calm = replace(default_air_assumptions(), crew_shelter=0.3)
    assert windage_elements(BOAT, calm)[-1].front_drag_area == pytest.approx(4 * 0.56 * 0.3)


def test_nothing_there_no_force():
    empty = AboveWater(6.6, 2.15, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0)
    elements = windage_elements(empty)
    assert_allclose(windage_forces(elements, 8.0, true_wind_angle=1.0, boat_speed=2.0), 0.0)
    assert lumped_windage(elements).height > 0.0


def test_nan_in_nan_out():
    got = windage_forces(windage_elements(BOAT), np.array([5.0, np.nan]), true_wind_angle=0.7, boat_speed=2.0)
    assert np.isfinite(got.drive[0]) and np.isnan([part[1] for part in got]).all()


@pytest.mark.parametrize(
    "call",
    [
        lambda: replace(BOAT, freeboard=-0.1),
        lambda: WindageElement("post", -1.0, 0.0, 1.0),
        lambda: WindageElement("post", 1.0, 1.0, 0.0),
        lambda: windage_forces((), 5.0, true_wind_angle=1.0, boat_speed=1.0),
        lambda: lumped_windage(()),
    ],
)
def test_impossible_windage_is_refused(call):
    with pytest.raises(InputError, match="found"):
        call()
