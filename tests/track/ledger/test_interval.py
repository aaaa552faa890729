from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.interval import (
    HEEL_SDS_DEG,
    WIND_SHARES,
    WINDOW_SD_S,
    Doubt,
    Ledger,
    draws_of,
    ledger_of,
)
from cringle.track.ledger.ledger import PARTS, RUN, SAILED, UPWIND, Baseline, LedgerRows, split

POLAR = sketch_polar()
BASE = Baseline(POLAR)


def rows(share: float = 0.9, n: int = 1200) -> LedgerRows:
    kind = np.repeat([UPWIND, RUN], n // 2).astype(np.int8)
    wind = np.full(n, 10.0)
    up, run = (POLAR.target(wind, upwind=one) for one in (True, False))
    angle = np.where(kind == UPWIND, up.angle_deg, run.angle_deg)
    heel = np.where(kind == UPWIND, up.heel_deg, run.heel_deg)
    return LedgerRows(
        wind,
        angle * np.where(np.arange(n) % 200 < 100, 1.0, -1.0),
        share * POLAR.speed(wind, angle, heel),
        heel,
        kind,
        np.repeat([0, 1], n // 2),
        np.full(n, SAILED, dtype=np.int8),
    )


def drawn(doubt: Doubt, share: float = 0.9, leg: int | None = None) -> Ledger:
    one = rows(share)
    return ledger_of(split(one, BASE), draws_of(one, BASE, doubt), rows=one, baseline=BASE.name, leg=leg)


def test_parts_add_up_to_the_total():
    found = drawn(Doubt())
    assert sum(one.seconds for one in found.parts) == pytest.approx(found.total.seconds, abs=1e-6)
    assert [one.name for one in found.parts] == list(PARTS)


def test_shown_and_withheld_are_all_there_is():
    found = drawn(Doubt())
    assert sum(one.seconds for one in found.shown) + found.withheld_s == pytest.approx(found.total.seconds)


def test_every_interval_holds_its_value():
    found = drawn(Doubt())
    assert all(one.low <= one.seconds <= one.high for one in (*found.parts, found.total))


def test_a_large_loss_is_told_apart_and_a_small_one_is_not():
    large, small = drawn(Doubt(), share=0.8), drawn(Doubt(target_share=0.05), share=0.99)
    assert large.part("trim").told_apart
    assert "trim" in small.withheld
    assert not small.part("trim").told_apart


def test_more_doubt_widens():
    sure, unsure = drawn(Doubt(0.5, 0.01, 0.2, 0.005)), drawn(Doubt(4.0, 0.15, 2.0, 0.05))
    assert unsure.total.high - unsure.total.low > 3.0 * (sure.total.high - sure.total.low)


def test_a_leg_is_a_part_of_the_whole():
    whole, up, run = (drawn(Doubt(), leg=leg) for leg in (None, 0, 1))
    assert up.total.seconds + run.total.seconds == pytest.approx(whole.total.seconds)
    assert up.sailed_s == 600.0


def test_same_seed_same_interval():
    one = rows()
    first, second = (draws_of(one, BASE, Doubt(), seed=3, count=5) for _ in range(2))
    assert [a.total_s for a in first] == [b.total_s for b in second]


def test_without_heel_it_says_so():
    one = rows()
    blind = replace(one, heel_deg=np.full(one.wind_kn.size, np.nan))
    found = ledger_of(split(blind, BASE), draws_of(blind, BASE, Doubt()), rows=blind, baseline="model target")
    assert not found.heel_known
    assert found.part("heel").seconds == 0.0
    assert "heel" not in found.withheld


def test_json_is_part_to_seconds_with_the_total():
    values = drawn(Doubt()).to_json()
    assert set(values) == {*PARTS, "total"}
    assert sum(values[name] for name in PARTS) == pytest.approx(values["total"], abs=0.5)


def test_the_truth_may_lie_to_either_side():
    """A turned vane only ever adds to angle, so the best value may hold such an addition already."""
    found = drawn(Doubt(6.0, 0.01, 0.2, 0.005)).part("angle")
    assert found.high - found.seconds == pytest.approx(found.seconds - found.low)
    assert found.low < found.seconds < found.high


def test_draws_come_with_their_opposite():
    one = rows()
    only_target = Doubt(0.0, 0.0, 0.0, 0.03)
    totals = np.array([each.total_s for each in draws_of(one, BASE, only_target, count=10)])
    best = split(one, BASE).total_s
    first, second = totals[:5] - best, totals[5:] - best
    assert (np.sign(first) == -np.sign(second)).all()
    assert np.abs(first + second).max() < 0.2 * np.abs(first).max()


def test_a_direction_off_on_both_sides_moves_the_total_and_one_that_lasts_hardly_does():
    """Over boards on both sides a lasting error mirrors itself away to first order."""
    one = rows()
    best = split(one, BASE).total_s
    side = np.sign(one.angle_deg)
    lasting, wide = (
        split(replace(one, angle_deg=one.angle_deg + off), BASE).total_s - best for off in (1.0, 1.0 * side)
    )
    assert abs(lasting) < 0.1 * abs(wide)


def charged(windows: int) -> LedgerRows:
    charge = np.full(1200, SAILED, dtype=np.int8)
    for number in range(windows):
        charge[100 * number + 20 : 100 * number + 50] = PARTS.index("tack")
    return replace(rows(0.7), charge=charge)


@pytest.mark.parametrize("windows", [1, 4, 9])
def test_the_ends_of_its_windows_widen_a_manoeuvre(windows):
    one = charged(windows)
    sure = Doubt(0.0, 0.0, 0.0, 0.0)
    part = ledger_of(split(one, BASE), draws_of(one, BASE, sure, count=4), rows=one, baseline=BASE.name).part(
        "tack"
    )
    assert part.high - part.seconds == pytest.approx(1.645 * WINDOW_SD_S * 0.3 * np.sqrt(windows), rel=0.02)


def test_without_any_window_nothing_widens():
    one = rows()
    found = ledger_of(
        split(one, BASE),
        draws_of(one, BASE, Doubt(0.0, 0.0, 0.0, 0.0), count=4),
        rows=one,
        baseline=BASE.name,
    )
    assert all(part.high - part.low == pytest.approx(0.0, abs=1e-9) for part in found.parts)


def test_every_source_of_wind_has_its_doubt():
    assert set(WIND_SHARES) == set(HEEL_SDS_DEG)
    assert list(WIND_SHARES.values()) == sorted(WIND_SHARES.values()), "instruments know best"
    assert list(HEEL_SDS_DEG.values()) == sorted(HEEL_SDS_DEG.values())
