from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from cringle.track.frozen_polar import sketch_polar
from cringle.track.ledger.ledger import RUN, SAILED, UPWIND, Baseline, code, split
from cringle.track.ledger.rows import LegSpan, from_the_turn, ledger_rows, overstood, with_overstood
from cringle.track.sailing.sailing import Sailing
from cringle.track.turns.loss import manoeuvre_losses
from cringle.units import wrap_degrees

START = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)
POLAR = sketch_polar()


def upwind(n: int = 200, angle: float = 44.0, speed: float = 5.0) -> Sailing:
    return Sailing(
        START,
        np.full(n, speed),
        wrap_degrees(np.full(n, -angle)),
        np.zeros(n),
        np.full(n, 10.0),
        np.full(n, angle),
        np.full(n, 15.0),
    )


def test_legs_and_kinds():
    rows = ledger_rows(upwind(), [LegSpan("up", 10, 50), LegSpan("run", 60, 90)], [])
    assert (rows.leg == 0).sum() == 40
    assert (rows.leg == 1).sum() == 30
    assert set(rows.kind[10:50]) == {UPWIND}
    assert set(rows.kind[60:90]) == {RUN}
    assert (rows.leg[50:60] == -1).all()


def test_a_manoeuvre_takes_its_rows_whole():
    sailing = upwind()
    losses = manoeuvre_losses(sailing, [(sailing.at(80), "tack")])
    rows = ledger_rows(sailing, [LegSpan("up", 0, 200)], losses)
    assert (rows.charge[losses[0].first_row : losses[0].end_row] == code("tack")).all()
    assert rows.charge[10] == SAILED


def test_lying_still_is_stopped_but_a_slow_moment_is_not():
    sailing = upwind()
    speed = sailing.speed_kn.copy()
    speed[50:75], speed[120:124] = 0.3, 0.3
    rows = ledger_rows(replace(sailing, speed_kn=speed), [LegSpan("up", 0, 200)], [])
    assert (rows.charge[50:75] == code("stopped")).all()
    assert (rows.charge == code("stopped")).sum() == 25


def test_sailing_back_is_extra_distance():
    sailing = upwind()
    angle = sailing.angle_deg.copy()
    angle[50:80] = 120.0
    rows = ledger_rows(replace(sailing, angle_deg=angle), [LegSpan("up", 0, 200)], [])
    assert 26 <= (rows.charge == code("extra_distance")).sum() <= 30


def test_a_rounding_goes_to_its_kind():
    rows = ledger_rows(upwind(), [LegSpan("up", 0, 200)], [], roundings=[(190, 200, "set")])
    assert (rows.charge[190:200] == code("set")).all()


def rounding(turn: int, parted: int) -> tuple[Sailing, list[LegSpan]]:
    """Return a run that turns onto a beat from row 100 on, and legs that part some rows later."""
    sailing = upwind()
    rows = np.arange(sailing.rows)
    angle = np.interp(rows, [99, 99 + turn], [150.0, 44.0])
    return replace(sailing, angle_deg=angle), [LegSpan("run", 0, parted), LegSpan("up", parted, 200)]


@pytest.mark.parametrize(("turn", "late"), [(6, 0), (6, 1), (6, 2), (4, 1), (10, 3)])
def test_a_beat_begins_where_the_bow_begins_to_come_up(turn, late):
    run, beat = from_the_turn(*rounding(turn, 100 + late))
    assert run.end == beat.first
    assert 100 <= run.end <= 101


def test_other_legs_stay_where_they_are():
    sailing, legs = rounding(6, 102)
    for kinds in (("up", "run"), ("run", "reach"), ("reach", "up")):
        others = [replace(one, kind=kind) for one, kind in zip(legs, kinds, strict=True)]
        assert from_the_turn(sailing, others) == others
    apart = [legs[0], replace(legs[1], first=110)]
    assert from_the_turn(sailing, apart) == apart
    blind = replace(sailing, angle_deg=np.full(sailing.rows, np.nan))
    assert from_the_turn(blind, legs) == legs
    assert from_the_turn(sailing, []) == []


def overstood_log() -> tuple[Sailing, tuple[np.ndarray, np.ndarray]]:
    """Return a last board that reaches to the mark 20 degrees freer than the target."""
    sailing = upwind(angle=60.0)
    steps = np.arange(sailing.rows) * 2.5
    east, north = -steps * np.sin(np.radians(60.0)), steps * np.cos(np.radians(60.0))
    return sailing, (54.0 + north / 111_300.0, -5.0 + east / 65_500.0)


def test_reaching_into_the_mark_is_overstood_and_its_angle_becomes_distance():
    sailing, place = overstood_log()
    legs = [LegSpan("up", 0, 200)]
    losses = manoeuvre_losses(sailing, [(sailing.at(60), "tack")])
    target = POLAR.target(sailing.wind_kn, upwind=True).angle_deg
    mask = overstood(sailing, legs, losses, target, place)
    assert mask[120:190].all()
    assert not mask[:60].any()
    rows = ledger_rows(sailing, legs, losses)
    plain = split(rows, Baseline(POLAR))
    moved = with_overstood(plain, mask)
    assert moved.total_s == pytest.approx(plain.total_s)
    assert moved.by_part["extra_distance"] > 5.0
    assert moved.by_part["angle"] < plain.by_part["angle"]


def test_at_the_target_angle_nothing_is_overstood():
    sailing = upwind(angle=40.0)
    steps = np.arange(200) * 2.5
    place = (
        54.0 + steps * np.cos(np.radians(40.0)) / 111_300.0,
        -5.0 - steps * np.sin(np.radians(40.0)) / 65_500.0,
    )
    losses = manoeuvre_losses(sailing, [(sailing.at(60), "tack")])
    target = np.full(200, 40.0)
    assert not overstood(sailing, [LegSpan("up", 0, 200)], losses, target, place).any()


def test_a_leg_without_a_turn_has_no_layline():
    sailing, place = overstood_log()
    target = np.full(200, 40.0)
    assert not overstood(sailing, [LegSpan("up", 0, 200)], [], target, place).any()
