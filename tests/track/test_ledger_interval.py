from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger import PARTS, RUN, SAILED, UPWIND, Baseline, LedgerRows, split
from cringle.track.ledger_interval import Doubt, Ledger, draws_of, ledger_of

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
