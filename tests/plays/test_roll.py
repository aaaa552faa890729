"""Roll response."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.plays.roll import RollModel, roll_inertia, roll_response

BOAT = RollModel(stiffness=15_000.0, inertia=900.0, damping_ratio=0.2)
TIME = np.linspace(0.0, 20.0, 401)


def test_steady_moment_steady_heel():
    assert_allclose(roll_response(BOAT, TIME, np.full_like(TIME, 1500.0)), 0.1)


def test_it_comes_to_rest_at_moment_over_stiffness():
    moment = np.where(TIME < 1.0, 0.0, 3000.0)
    assert_allclose(roll_response(BOAT, TIME, moment)[-1], 0.2, rtol=1e-3)


def test_period():
    assert_allclose(BOAT.period_s, 2 * math.pi * math.sqrt(900.0 / 15_000.0))


def test_finer_steps_give_the_same_heel_for_a_moment_in_straight_pieces():
    moment = np.interp(TIME, [0, 2, 5, 20], [0.0, 2000.0, -1000.0, 500.0])
    fine = np.linspace(0.0, 20.0, 4001)
    finer = np.interp(fine, [0, 2, 5, 20], [0.0, 2000.0, -1000.0, 500.0])
    assert_allclose(roll_response(BOAT, fine, finer)[::10], roll_response(BOAT, TIME, moment), atol=1e-9)


def test_it_is_linear():
    moment = np.sin(TIME)
    assert_allclose(
        roll_response(BOAT, TIME, 3.0 * moment), 3.0 * roll_response(BOAT, TIME, moment), atol=1e-12
    )


def test_more_damping_less_overshoot():
    moment = np.where(TIME < 1.0, 0.0, 3000.0)
    tops = [roll_response(RollModel(15_000.0, 900.0, zeta), TIME, moment).max() for zeta in (0.1, 0.3, 0.9)]
    assert tops[0] > tops[1] > tops[2]


def test_inertia_grows_with_mass_and_beam():
    assert_allclose(roll_inertia(1000.0, 2.0), 1000.0 * 0.81)
    assert roll_inertia(1000.0, 2.2) > roll_inertia(1000.0, 2.0)


@pytest.mark.parametrize(
    "bad", [(0.0, 1.0, 0.1), (1.0, -1.0, 0.1), (1.0, 1.0, -0.1), (float("nan"), 1.0, 0.1)]
)
def test_boats_that_cannot_be(bad):
    with pytest.raises(InputError, match="accepted"):
        RollModel(*bad)


@pytest.mark.parametrize("time", [np.array([0.0]), np.array([0.0, 1.0, 3.0]), np.array([1.0, 0.0])])
def test_times_that_cannot_be(time):
    with pytest.raises(InputError, match="evenly spaced"):
        roll_response(BOAT, time, np.zeros_like(time))
