from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.baseline import of_boat, own_best_tenth, stretch_shares
from cringle.track.ledger.ledger import RUN, SAILED, UPWIND, LedgerRows, split

POLAR = sketch_polar()


def race(shares_up: np.ndarray, shares_run: np.ndarray) -> LedgerRows:
    """Return half a steady minute at each share of the target, first upwind, then on the run."""
    kind = np.repeat([UPWIND, RUN], [30 * shares_up.size, 30 * shares_run.size]).astype(np.int8)
    wind = np.full(kind.size, 10.0)
    up, run = (POLAR.target(wind, upwind=one) for one in (True, False))
    angle = np.where(kind == UPWIND, up.angle_deg, run.angle_deg)
    heel = np.where(kind == UPWIND, up.heel_deg, run.heel_deg)
    share = np.repeat(np.concatenate([shares_up, shares_run]), 30)
    return LedgerRows(
        wind,
        angle,
        share * POLAR.speed(wind, angle, heel),
        heel,
        kind,
        np.zeros(kind.size, dtype=np.int64),
        np.full(kind.size, SAILED, dtype=np.int8),
    )


def test_shares_of_steady_minutes():
    shares = np.linspace(0.8, 1.0, 11)
    np.testing.assert_allclose(stretch_shares(race(shares, shares), POLAR, UPWIND), shares, rtol=1e-9)


def test_own_best_tenth_is_the_ninetieth_percentile():
    up, run = np.linspace(0.8, 1.0, 21), np.linspace(0.7, 0.9, 21)
    found = own_best_tenth(race(up, run), POLAR)
    assert found.up_factor == pytest.approx(0.98)
    assert found.run_factor == pytest.approx(0.88)
    assert found.name == "own best tenth"


def test_another_boat_is_her_middle_minute():
    up, run = np.linspace(0.8, 1.0, 21), np.linspace(0.7, 0.9, 21)
    found = of_boat(race(up, run), POLAR, "Sorrel")
    assert (found.up_factor, found.run_factor) == (pytest.approx(0.9), pytest.approx(0.8))
    assert found.name == "Sorrel"


def test_against_the_own_best_less_is_lost():
    rows = race(np.linspace(0.8, 1.0, 21), np.linspace(0.7, 0.9, 21))
    from cringle.track.ledger.ledger import Baseline

    assert split(rows, own_best_tenth(rows, POLAR)).total_s < split(rows, Baseline(POLAR)).total_s


def test_one_kind_of_leg_stands_in_for_the_other():
    found = own_best_tenth(race(np.linspace(0.8, 1.0, 21), np.array([0.9])), POLAR)
    assert found.run_factor == found.up_factor


def test_stopped_minutes_do_not_count():
    shares = np.concatenate([np.full(10, 0.1), np.full(10, 0.9)])
    assert stretch_shares(race(shares, shares), POLAR, RUN).size == 10


def test_too_little_sailing_is_refused():
    rows = race(np.array([0.9]), np.array([0.9]))
    with pytest.raises(InputError, match="fewer than 5 steady half minutes"):
        own_best_tenth(replace(rows), POLAR)
