from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, NotConvergedError, OutOfRangeError
from cringle.speed.lanes import LaneAnswer, LanePolar, course, lane_polar, track_of, with_interval
from cringle.speed.targets import targets
from cringle.units import metres_per_second_to_knots


def even_polar(speed_kn=6.0):
    angle = np.arange(30.0, 181.0, 5.0)
    return LanePolar(10.0, angle, np.full(angle.size, speed_kn), np.full(angle.size, 0.5))


@pytest.fixture(scope="module")
def eleven(demo):
    return lane_polar(demo, 11.0)


def test_the_lane_polar_agrees_with_the_targets(demo, eleven):
    up = targets(demo, 11.0, case=demo.upwind)
    assert abs(eleven.target_deg("up") - up.cells.angle_deg[0]) < 2.0
    made = metres_per_second_to_knots(eleven.made_good(eleven.target_deg("up")))
    assert_allclose(made, up.made_good_kn[0], rtol=0.01)
    down = max(float(np.nan_to_num(targets(demo, 11.0, case=one).made_good_kn[0])) for one in demo.run)
    assert_allclose(metres_per_second_to_knots(eleven.made_good(eleven.target_deg("down"))), down, rtol=0.01)


def test_speed_is_even_in_the_tack_and_straight_between_points(eleven):
    assert eleven.speed(-45.0) == eleven.speed(45.0)
    assert_allclose(even_polar().speed(47.3), 6.0 * 1852 / 3600)


def test_more_wind_means_more_speed(eleven):
    assert 0.0 < eleven.growth(140.0) < 3.0


def test_outside_the_polar_is_refused(eleven):
    with pytest.raises(OutOfRangeError, match="true wind angle"):
        eleven.speed(20.0)


def test_where_the_boat_cannot_be_sailed_it_says_so():
    angle = np.arange(30.0, 181.0, 5.0)
    speed = np.where(angle > 90.0, np.nan, 5.0)
    polar = LanePolar(10.0, angle, speed, np.full(angle.size, 0.5))
    with pytest.raises(NotConvergedError, match="cannot be sailed at 150"):
        polar.speed(150.0)
    with pytest.raises(NotConvergedError, match="no target down"):
        polar.target_deg("down")


def test_axes_must_rise_and_match():
    with pytest.raises(InputError, match="rising"):
        LanePolar(10.0, np.array([50.0, 40.0, 60.0]), np.ones(3), np.ones(3))
    with pytest.raises(InputError, match="differ"):
        LanePolar(10.0, np.array([30.0, 40.0, 60.0]), np.ones(2), np.ones(3))


@pytest.mark.parametrize("wind", [0.0, -3.0, 60.0])
def test_impossible_winds_are_refused(demo, wind):
    with pytest.raises(OutOfRangeError, match="true wind speed"):
        lane_polar(demo, wind)


def test_the_wind_comes_from_the_top():
    assert_allclose(course(0.0, 10.0), (0.0, 10.0), atol=1e-12)
    assert_allclose(course(90.0, 10.0), (-10.0, 0.0), atol=1e-12)
    assert_allclose(course(-135.0, 10.0), (7.0710678, -7.0710678))
    track = track_of("two boards", [(45.0, 10.0), (-45.0, 10.0)])
    assert_allclose((track.across_m[-1], track.up_m[-1]), (0.0, 14.1421356), atol=1e-6)


def test_intervals_come_from_the_members_and_skip_those_without_an_answer():
    def ask(polar: LanePolar) -> LaneAnswer:
        if polar.speed_kn[0] > 7.5:
            raise NotConvergedError("no", next_step="no")
        return LaneAnswer("q", "w", float(polar.speed_kn[0]), float("nan"), "m", "", (), ())

    drawn = [even_polar(speed) for speed in (5.0, 5.5, 6.0, 6.5, 7.0, 8.0)]
    found = with_interval(ask, even_polar(), drawn)
    assert found.gain_m == 6.0
    assert 5.0 <= found.gain_m_90[0] < 6.0 < found.gain_m_90[1] <= 7.0
    assert found.break_even_90 is None
    assert with_interval(ask, even_polar(), []).gain_m_90 is None
