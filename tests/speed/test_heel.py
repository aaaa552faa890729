from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.speed.ensemble import members
from cringle.speed.heel import heel_cost, made_good_by_heel
from cringle.speed.targets import targets

WINDS = np.array([10.0, 12.0, 14.0, 16.0])


@pytest.fixture(scope="module")
def cost(demo):
    return heel_cost(demo, targets(demo, WINDS, case=demo.upwind), members(demo, count=16))


def test_sailing_beside_the_best_heel_costs_and_more_so_farther_away(cost):
    assert (cost.s_per_mile > 0.0).all()
    order = list(cost.offset_deg)
    near, far = cost.s_per_mile[:, order.index(2.0)], cost.s_per_mile[:, order.index(4.0)]
    assert (far > near).all()


def test_intervals_hold_the_price(cost):
    assert (cost.s_per_mile_90.low <= cost.s_per_mile).all()
    assert (cost.s_per_mile_90.high >= cost.s_per_mile).all()


def test_four_degrees_too_much_are_clear_of_their_interval_from_12_kn_up(cost):
    assert cost.clear(4.0)[1:].all()


def test_an_offset_that_was_not_computed_is_refused(cost):
    with pytest.raises(InputError, match=r"\+3 deg"):
        cost.clear(3.0)


def test_the_curve_over_heel_is_the_polar_at_each_heel(demo):
    heels, made = made_good_by_heel(demo, demo.upwind, [12.0])
    assert_allclose(np.diff(heels), 0.5)
    best = targets(demo, 12.0, case=demo.upwind)
    assert_allclose(np.nanmax(made), best.made_good_kn[0], rtol=0.005)
    assert abs(heels[int(np.nanargmax(made[0]))] - best.cells.heel_deg[0]) <= 2.0


def test_beyond_what_can_be_held_the_curve_is_unknown(demo):
    _, made = made_good_by_heel(demo, demo.case("soak furled"), [26.0])
    assert np.isnan(made).any()


def test_the_price_is_unknown_where_there_is_no_target(demo):
    case = demo.case("plane out")
    found = heel_cost(demo, targets(demo, [6.0], case=case), members(demo, count=2))
    assert np.isnan(found.s_per_mile).all()
