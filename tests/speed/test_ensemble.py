from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, OutOfRangeError
from cringle.physics.water_assumptions import default_water_assumptions, water_assumption_rows
from cringle.speed.ensemble import (
    FACTOR_NAMES,
    SEED,
    Fitted,
    drawn_water_assumptions,
    interval,
    members,
    normal_scores,
    over_members,
)
from cringle.speed.factors import Factors


def test_scores_use_every_stratum_of_every_coefficient_once():
    scores = normal_scores(40, 7)
    assert scores.shape == (40, 7)
    for column in scores.T:
        assert_allclose(np.sort(column), np.sort(scores[:, 0]))
    assert_allclose(scores.mean(axis=0), 0.0, atol=1e-12)
    assert_allclose(scores.std(axis=0), 1.0, atol=0.03)
    assert np.abs(np.corrcoef(scores.T) - np.eye(7)).max() < 0.5


def test_the_same_seed_gives_the_same_draws_and_another_does_not():
    assert_allclose(normal_scores(8, 3, SEED), normal_scores(8, 3))
    assert not np.array_equal(normal_scores(8, 3, SEED + 1), normal_scores(8, 3))


@pytest.mark.parametrize("count", [1, 0, 20_000])
def test_too_few_or_many_members_are_refused(count):
    with pytest.raises(OutOfRangeError, match="members of the ensemble"):
        normal_scores(count, 3)


def test_water_draws_hit_the_ends_of_the_table_and_stay_in_their_sense():
    rows = water_assumption_rows()
    zero = drawn_water_assumptions(np.zeros(len(rows)))
    assert zero == default_water_assumptions()
    low = drawn_water_assumptions(np.full(len(rows), -1.6448536269514722))
    high = drawn_water_assumptions(np.full(len(rows), 1.6448536269514722))
    for row in rows:
        assert_allclose((getattr(low, row.name), getattr(high, row.name)), (row.low, row.high), atol=1e-12)
    far = drawn_water_assumptions(np.full(len(rows), -9.0))
    assert far.keel_wave_factor == 0.0
    assert far.crew_place < 0.0


def test_water_draws_of_the_wrong_number_are_refused():
    with pytest.raises(InputError, match="scores of the water assumptions"):
        drawn_water_assumptions(np.zeros(3))


def test_members_differ_from_the_boat_and_from_each_other(demo):
    boats = members(demo, count=6)
    assert len(boats) == 6
    assert len({one.around.water.hull_drag_factor for one in boats}) == 6
    assert len({one.around.air.kite_lift_factor for one in boats}) == 6
    assert all(one.crew == demo.crew and one.around.sea == demo.around.sea for one in boats)


def test_a_fit_pins_what_it_stands_for_and_is_drawn_itself(demo):
    spread = tuple(
        tuple(0.02**2 if i == j else 0.0 for j in range(len(FACTOR_NAMES))) for i in range(len(FACTOR_NAMES))
    )
    fitted = Fitted(Factors(sail_power=1.1, hull_drag=0.9), spread)
    boats = members(demo, count=40, fitted=fitted)
    assert {one.around.water.hull_drag_factor for one in boats} == {1.0}
    power = np.log([one.around.factors.sail_power for one in boats])
    assert_allclose(power.mean(), np.log(1.1), atol=0.002)
    assert_allclose(power.std(), 0.02, rtol=0.15)


def test_a_fit_without_spread_gives_its_factors_to_every_member(demo):
    none = tuple(tuple(0.0 for _ in FACTOR_NAMES) for _ in FACTOR_NAMES)
    boats = members(demo, count=3, fitted=Fitted(Factors(windage=0.8), none))
    assert {round(one.around.factors.windage, 12) for one in boats} == {0.8}


def test_a_covariance_of_another_size_is_refused():
    with pytest.raises(InputError, match="covariance"):
        Fitted(Factors(), ((1.0,),))


def test_over_members_keeps_their_order(demo):
    boats = [replace(demo, crew=replace(demo.crew, mass_kg=mass)) for mass in (300.0, 310.0, 320.0)]
    assert_allclose(over_members(boats, lambda one: np.array([one.crew.mass_kg]))[:, 0], (300, 310, 320))


def test_interval_holds_the_best_value_and_the_percentiles():
    drawn = np.random.default_rng(1).normal(5.0, 1.0, (4000, 1))
    known = interval(np.array([5.0]), np.array([5.0]), drawn)
    assert_allclose((known.low[0], known.high[0]), (5 - 1.645, 5 + 1.645), atol=0.06)
    shifted = interval(np.array([5.0]), np.array([5.0]), drawn + 10.0)
    assert shifted.low[0] == 5.0


def test_interval_takes_the_coarse_search_out():
    drawn = np.linspace(7.0, 9.0, 101)[:, None]
    known = interval(np.array([5.0]), np.array([8.0]), drawn)
    assert_allclose((known.low[0], known.high[0]), (5 - 0.909, 5 + 0.909))


def test_interval_is_unknown_where_half_the_members_have_no_answer():
    drawn = np.array([[1.0, 1.0], [2.0, np.nan], [3.0, np.nan]])
    known = interval(np.array([2.0, 2.0]), np.array([2.0, 2.0]), drawn)
    assert np.isfinite(known.low[0])
    assert np.isnan(known.low[1])
