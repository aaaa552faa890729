from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, NotConvergedError
from cringle.speed.ensemble import FACTOR_NAMES
from cringle.speed.equilibrium import solve
from cringle.speed.factors import Factors
from cringle.speed.fit import PRIOR_SPREAD, SPEED_SPREAD, Stretch, fit

TRUTH = Factors(sail_power=1.06, hull_drag=0.93, planing_drag=1.15, righting_moment=1.05)


def sailed(model, count, *, seed=3, noise=0.015, heel_known=True):
    """Return stretches sailed by a model, with noise on the speed."""
    random, found = np.random.default_rng(seed), []
    while len(found) < count:
        wind, up = random.uniform(6.0, 18.0), random.random() < 0.5
        name = "up" if up else ("soak furled" if wind < 13.0 else "plane out")
        angle = random.uniform(40.0, 55.0) if up else random.uniform(132.0, 150.0)
        heel = float(np.clip(2.0 * (wind - 8.0), 2.0, 18.0)) if up else 5.0
        cell = solve(model, wind, angle, case=model.case(name), heel_deg=heel)
        if cell.converged:
            speed = float(cell.boat_speed_kn) * math.exp(random.normal(0.0, noise))
            found.append(Stretch(wind, angle, speed, name, heel if heel_known else None))
    return found


@pytest.fixture(scope="module")
def truth(demo):
    return demo.with_around(replace(demo.around, factors=TRUTH))


@pytest.fixture(scope="module")
def report(demo, truth):
    return fit(demo, sailed(truth, 60))


def test_residuals_fall_to_the_noise(report):
    assert report.before_percent > 3.0
    assert report.after_percent < 2.0
    assert report.used == 60
    assert report.left_out == 0


def test_factors_lie_within_their_own_spread_of_the_truth(report):
    for place, name in enumerate(FACTOR_NAMES):
        off = math.log(getattr(report.fitted.factors, name) / getattr(TRUTH, name))
        assert abs(off) < 3.0 * report.spread[place], name


def test_data_narrows_what_it_can_see_and_nothing_grows(report):
    for before, after in zip(report.prior_spread, report.spread, strict=True):
        assert after <= before * (1.0 + 1e-6)
    earned = dict(zip(FACTOR_NAMES, report.earned, strict=True))
    assert earned["hull_drag"] > 0.4
    assert earned["planing_drag"] > 0.5


def test_a_boat_as_the_model_has_it_stays_there(demo):
    found = fit(demo, sailed(demo, 40, noise=0.0))
    assert found.before_percent < 0.01
    for name in FACTOR_NAMES:
        assert_allclose(getattr(found.fitted.factors, name), 1.0, atol=1e-3)


def test_one_wild_stretch_cannot_pull_a_factor_beyond_what_it_earned(demo):
    wild = [Stretch(10.0, 45.0, 10.0, "up", 5.0)]
    found = fit(demo, wild)
    for place, name in enumerate(FACTOR_NAMES):
        moved = abs(math.log(getattr(found.fitted.factors, name)))
        assert moved < PRIOR_SPREAD[name], name
        assert found.earned[place] < 0.1
    assert found.weight[0] < 0.1


def test_the_reach_of_one_stretch_is_bounded_however_wild_it_is(demo):
    mild, wild = (fit(demo, [Stretch(10.0, 45.0, speed, "up", 5.0)]) for speed in (8.0, 25.0))
    for name in FACTOR_NAMES:
        near, far = (math.log(getattr(one.fitted.factors, name)) for one in (mild, wild))
        assert abs(far - near) < 0.25 * PRIOR_SPREAD[name], name


def test_a_wild_stretch_among_good_ones_hardly_counts(demo, truth, report):
    spoilt = fit(demo, [*sailed(truth, 60), Stretch(10.0, 45.0, 15.0, "up", 5.0)])
    assert spoilt.weight[-1] < 0.1
    for place, name in enumerate(FACTOR_NAMES):
        change = math.log(getattr(spoilt.fitted.factors, name) / getattr(report.fitted.factors, name))
        assert abs(change) < max(0.7 * report.spread[place], 0.01), name


def test_a_wrong_wind_instrument_is_not_taken_for_sail_power(demo):
    rows = [replace(one, wind_kn=one.wind_kn / 1.05) for one in sailed(demo, 60, noise=0.005)]
    found = fit(demo, rows)
    assert found.wind_factor > 1.015
    assert abs(math.log(found.fitted.factors.sail_power)) < PRIOR_SPREAD["sail_power"]


def test_short_stretches_count_less(demo):
    long = fit(demo, [Stretch(10.0, 45.0, 6.0, "up", 5.0, 60.0)])
    short = fit(demo, [Stretch(10.0, 45.0, 6.0, "up", 5.0, 6.0)])
    assert short.spread[1] > long.spread[1]
    assert SPEED_SPREAD > 0.0


def test_unknown_heel_takes_the_best(demo):
    found = fit(demo, sailed(demo, 12, noise=0.0, heel_known=False))
    assert found.before_percent < 4.0


def test_what_cannot_be_sailed_is_left_out_and_told(demo):
    rows = [*sailed(demo, 6, noise=0.0), Stretch(1.5, 22.0, 3.0, "up", 25.0)]
    found = fit(demo, rows)
    assert (found.used, found.left_out) == (6, 1)
    assert np.isnan(found.residual_after_percent[-1])
    with pytest.raises(NotConvergedError, match="can sail none"):
        fit(demo, rows[-1:])


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (Stretch(0.0, 45.0, 5.0, "up"), "stretch 1, wind_kn"),
        (Stretch(10.0, 5.0, 5.0, "up"), "stretch 1, angle_deg"),
        (Stretch(10.0, 45.0, 60.0, "up"), "stretch 1, speed_kn"),
        (Stretch(10.0, 45.0, float("nan"), "up"), "stretch 1, speed_kn"),
        (Stretch(10.0, 45.0, 5.0, "up", 80.0), "stretch 1, heel_deg"),
        (Stretch(10.0, 45.0, 5.0, "up", 5.0, 1.0), "stretch 1, seconds"),
        (Stretch(10.0, 45.0, 5.0, "sideways"), "no case 'sideways'"),
    ],
)
def test_impossible_rows_are_named(demo, row, words):
    with pytest.raises(InputError, match=words):
        fit(demo, [row])


def test_nothing_and_an_earlier_fit_are_refused(demo, truth):
    with pytest.raises(InputError, match="0 steady stretches"):
        fit(demo, [])
    with pytest.raises(InputError, match="earlier fit"):
        fit(truth, [Stretch(10.0, 45.0, 5.0, "up", 5.0)])
