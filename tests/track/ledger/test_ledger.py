from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.ledger import (
    PARTS,
    REACH,
    RUN,
    SAILED,
    UPWIND,
    Baseline,
    LedgerRows,
    code,
    made_good,
    split,
    steps_of,
)

POLAR = sketch_polar()
BASE = Baseline(POLAR)


def rows_at(n: int = 60, *, kind: int = UPWIND, wind: float = 10.0, **changed: object) -> LedgerRows:
    """Return rows sailed exactly at the target."""
    target = POLAR.target(np.full(n, wind), upwind=kind == UPWIND)
    rows = LedgerRows(
        wind_kn=np.full(n, wind),
        angle_deg=np.asarray(target.angle_deg),
        speed_kn=POLAR.speed(wind, target.angle_deg, target.heel_deg),
        heel_deg=np.asarray(target.heel_deg),
        kind=np.full(n, kind, dtype=np.int8),
        leg=np.zeros(n, dtype=np.int64),
        charge=np.full(n, SAILED, dtype=np.int8),
    )
    return replace(rows, **changed)  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", [UPWIND, RUN])
def test_on_target_nothing_is_lost(kind):
    found = split(rows_at(kind=kind), BASE)
    assert_allclose(found.seconds, 0.0, atol=1e-9)


def test_slow_at_the_right_angle_and_heel_is_trim():
    rows = rows_at()
    found = split(replace(rows, speed_kn=0.9 * rows.speed_kn), BASE).by_part
    assert_allclose(found["trim"], 6.0, rtol=1e-9)
    assert_allclose([found["heel"], found["angle"]], 0.0, atol=1e-9)


def test_wrong_heel_at_the_polars_own_speed_is_heel():
    rows = rows_at()
    heel = rows.heel_deg + 6.0
    share = POLAR.speed(10.0, rows.angle_deg, heel) / POLAR.speed(10.0, rows.angle_deg, rows.heel_deg)
    found = split(replace(rows, heel_deg=heel, speed_kn=rows.speed_kn * share), BASE).by_part
    assert found["heel"] == pytest.approx(60.0 * (1.0 - share[0]))
    assert found["heel"] > 0.3
    assert_allclose([found["trim"], found["angle"]], 0.0, atol=1e-9)


def test_wrong_angle_at_the_polars_own_speed_is_angle():
    rows = rows_at()
    low = rows.angle_deg + 8.0
    found = split(replace(rows, angle_deg=low, speed_kn=POLAR.speed(10.0, low, rows.heel_deg)), BASE)
    assert found.by_part["angle"] > 1.0
    assert_allclose([found.by_part["trim"], found.by_part["heel"]], 0.0, atol=1e-9)


def test_what_is_charged_whole_goes_to_its_cause_only():
    rows = rows_at()
    charge = rows.charge.copy()
    charge[10:20] = code("tack")
    found = split(replace(rows, charge=charge, speed_kn=0.5 * rows.speed_kn), BASE).by_part
    assert_allclose([found["tack"], found["trim"]], [5.0, 25.0])


def test_without_heel_nothing_is_lost_to_heel_and_the_total_stays():
    rows = rows_at(speed_kn=np.full(60, 4.0), angle_deg=np.full(60, 50.0))
    with_heel = split(replace(rows, heel_deg=rows.heel_deg + 9.0), BASE)
    without = split(replace(rows, heel_deg=np.full(60, np.nan)), BASE)
    assert without.by_part["heel"] == 0.0
    assert without.total_s == pytest.approx(with_heel.total_s)


def test_a_gap_costs_its_time_and_is_unknown():
    rows = rows_at()
    speed = rows.speed_kn.copy()
    speed[:5] = np.nan
    assert split(replace(rows, speed_kn=speed), BASE).by_part["unknown"] == pytest.approx(5.0)


def test_outside_the_legs_nothing_counts():
    rows = rows_at(speed_kn=np.zeros(60), leg=np.full(60, -1))
    assert split(rows, BASE).total_s == 0.0


def test_legs_add_up():
    rows = rows_at(speed_kn=np.full(60, 3.0), leg=np.repeat([0, 1, -1], 20))
    found = split(rows, BASE)
    both = sum(sum(found.of_leg(leg).values()) for leg in (0, 1))
    assert both == pytest.approx(found.total_s)
    assert found.total_s > 0.0


def test_a_reach_loses_nothing_to_angle():
    rows = rows_at(kind=REACH, angle_deg=np.full(60, 100.0), speed_kn=np.full(60, 3.0))
    found = split(rows, BASE).by_part
    assert found["angle"] == pytest.approx(0.0, abs=1e-9)
    assert found["trim"] > 10.0


def test_a_slower_baseline_forgives():
    rows = rows_at()
    slower = Baseline(POLAR, up_factor=0.9, run_factor=0.9)
    assert split(rows, slower).total_s == pytest.approx(60.0 * (1.0 - 1.0 / 0.9))


def test_made_good_by_kind():
    got = made_good(np.full(3, 2.0), np.array([60.0, 120.0, 90.0]), np.array([UPWIND, RUN, REACH], np.int8))
    assert_allclose(got, [1.0, 1.0, 2.0])


def test_steps_lead_from_the_target_to_what_was_sailed():
    rows = rows_at()
    steps = steps_of(rows, BASE)
    target = POLAR.target(10.0, upwind=True)
    assert_allclose(steps.target, target.made_good_kn, rtol=2e-3)
    assert_allclose(steps.observed, steps.target)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10_000), hole=st.floats(0.0, 0.5), step=st.floats(0.02, 5.0))
def test_the_parts_are_the_total_taken_apart(seed, hole, step):
    rng = np.random.default_rng(seed)
    n = 300

    def holed(values):
        return np.where(rng.uniform(size=n) < hole * 0.3, np.nan, values)

    rows = LedgerRows(
        wind_kn=holed(rng.uniform(2.0, 26.0, n)),
        angle_deg=holed(rng.uniform(-180.0, 180.0, n)),
        speed_kn=holed(rng.uniform(0.0, 14.0, n)),
        heel_deg=holed(rng.uniform(-20.0, 40.0, n)),
        kind=rng.integers(0, 3, n).astype(np.int8),
        leg=rng.integers(-1, 4, n),
        charge=rng.integers(-1, len(PARTS), n).astype(np.int8),
        step_s=step,
    )
    found = split(rows, BASE)
    steps = steps_of(rows, BASE)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = steps.observed / steps.target
    sound = np.isfinite(share) & (np.abs(share) <= 3.0) & (steps.target > 0.0)
    sound &= np.isfinite(steps.heeled) & np.isfinite(steps.angled)
    whole = step * np.where(sound, 1.0 - share, 1.0)[rows.leg >= 0].sum()
    assert sum(found.by_part.values()) == pytest.approx(whole, abs=1e-6)
    assert found.total_s == pytest.approx(whole, abs=1e-6)
