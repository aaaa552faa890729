import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.boat.base import Technique
from cringle.errors import OutOfRangeError
from cringle.speed.cases import Case
from cringle.speed.legs import NOTHING, leg_best, legs_made_good
from cringle.speed.polar import Chosen
from cringle.units import knots_to_metres_per_second


def grid(angles, speeds_kn, name="x"):
    """Return a polar of one wind."""
    angle = np.asarray(angles, float)
    speed = knots_to_metres_per_second(np.asarray(speeds_kn, float))[None, :]
    heel = np.full(speed.shape, 5.0)
    case = Case(name, Technique.SOAK, "out")
    return Chosen(case, np.array([10.0]), angle, speed, heel, np.zeros(speed.shape, bool))


HOT = grid([140.0], [8.0])


def test_square_to_the_wind_two_equal_boards():
    best = leg_best(HOT, 0)
    assert_allclose(best.made_good_kn, 8.0 * np.cos(np.radians(40.0)))
    assert_allclose(best.share, 0.5)
    assert best.angle_deg == best.other_angle_deg == 140.0
    assert not best.one_board


def test_along_a_board_that_board_alone():
    best = leg_best(HOT, 0, off_deg=40.0)
    assert_allclose(best.made_good_kn, 8.0)
    assert best.one_board
    assert np.isnan(best.other_angle_deg)


def test_between_them_the_sine_rule():
    """Time on each board from the triangle of the two boards and the leg."""
    off = np.radians(15.0)
    best = leg_best(HOT, 0, off_deg=15.0)
    long, short = np.sin(np.radians(40.0) + off), np.sin(np.radians(40.0) - off)
    assert_allclose(best.share, long / (long + short))
    assert_allclose(best.made_good_kn, 8.0 * np.sin(np.radians(80.0)) / (long + short))


def test_either_side_alike():
    assert leg_best(HOT, 0, off_deg=20.0) == leg_best(HOT, 0, off_deg=-20.0)


def test_beyond_every_course_nothing():
    assert leg_best(HOT, 0, off_deg=60.0) == NOTHING


def test_another_technique_may_serve_on_the_shorter_board():
    deep, hot = grid([172.0], [6.0], "deep"), grid([140.0], [7.0], "hot")
    assert leg_best(deep, 0, off_deg=15.0) == NOTHING
    best = leg_best(deep, 0, off_deg=15.0, others=[deep, hot])
    assert (best.angle_deg, best.other_angle_deg) == (172.0, 140.0)
    assert 0.5 <= best.share < 1.0


def test_the_best_of_many_angles_is_the_best_made_good():
    angle = np.arange(120.0, 176.0)
    speed = 9.0 - 0.06 * (angle - 120.0)
    best = leg_best(grid(angle, speed), 0)
    assert_allclose(best.made_good_kn, (-speed * np.cos(np.radians(angle))).max())


def test_no_speed_nothing():
    assert leg_best(grid([140.0], [-1.0]), 0) == NOTHING
    assert legs_made_good(HOT).tolist() == [leg_best(HOT, 0).made_good_kn]


@pytest.mark.parametrize("off", [81.0, -90.0, float("nan")])
def test_a_reach_is_no_run(off):
    with pytest.raises(OutOfRangeError, match="leg off the wind"):
        leg_best(HOT, 0, off_deg=off)


def test_the_technique_named_has_the_longer_board():
    deep, hot = grid([172.0], [6.0], "deep"), grid([140.0], [7.0], "hot")
    assert leg_best(deep, 0, off_deg=38.0, others=[deep, hot]) == NOTHING
    assert leg_best(hot, 0, off_deg=38.0, others=[deep, hot]).share > 0.5
