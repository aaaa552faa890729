from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.sailing.sailing import Sailing
from cringle.track.turns.loss import TRACE_S, manoeuvre_losses
from cringle.track.turns.loss_possible import Possible
from cringle.units import knots_to_metres_per_second, wrap_degrees, wrap_signed_degrees

START = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)
CROSSING = 100


def tack(*, dip: float = 0.6, memory: float = 6.0, rows: int = 220, speed: float = 5.0) -> Sailing:
    """Return steady sailing at 45 degrees with one tack at row 100 whose speed dips and comes back."""
    clock = np.arange(rows) - CROSSING
    angle = 45.0 * np.clip(-clock / 3.0, -1.0, 1.0)
    shape = np.where(clock < 0, 0.0, np.exp(-np.maximum(clock, 0) / memory))
    heel = np.where(np.abs(clock) < 3, np.nan, 15.0)
    return Sailing(
        start=START,
        speed_kn=speed * (1.0 - dip * shape),
        course_deg=wrap_degrees(225.0 - angle),
        wind_from_deg=np.full(rows, 225.0),
        wind_kn=np.full(rows, 10.0),
        angle_deg=wrap_signed_degrees(angle),
        heel_deg=heel,
    )


def only(sailing: Sailing, kind: str = "tack", **more: object):
    return manoeuvre_losses(sailing, [(sailing.at(CROSSING), kind)], **more)[0]  # type: ignore[arg-type]


def test_metres_are_those_of_the_hand_calculation():
    sailing = tack()
    good = sailing.to_windward_kn()
    usual = 5.0 * np.cos(np.radians(45.0))
    want = float(knots_to_metres_per_second((usual - good)[92:142].sum()))
    assert only(sailing).metres_lost == pytest.approx(want, rel=1e-3)
    assert want > 5.0


def test_speeds_recovery_and_turn_rate():
    found = only(tack())
    assert found.entry_kn == pytest.approx(5.0)
    assert found.lowest_kn is not None
    assert 2.0 < found.lowest_kn < 3.6
    assert found.exit_kn == pytest.approx(5.0, rel=1e-2)
    assert found.recovery_s == pytest.approx(6.0 * np.log(0.6 / 0.05), abs=2.5)
    assert found.turn_rate_deg_per_s == pytest.approx(15.0)


def test_rows_run_from_the_entry_to_the_recovery():
    found = only(tack())
    assert found.first_row == CROSSING - 5
    assert found.end_row == CROSSING + found.recovery_s


def test_heel_before_after_and_trace():
    found = only(tack())
    assert found.heel_before_deg == pytest.approx(15.0)
    assert len(found.heel_trace_deg) == len(TRACE_S)
    assert found.heel_trace_deg[TRACE_S.index(0)] is None
    assert found.heel_trace_deg[0] == pytest.approx(15.0)


def test_overshoot_upwind_is_sailing_too_low_after_the_tack():
    sailing = tack()
    clock = np.arange(sailing.rows) - CROSSING
    low = np.where(clock > 3, 8.0 * np.exp(-(clock - 3) / 5.0), 0.0)
    sailing = replace(sailing, angle_deg=sailing.angle_deg - low)
    found = only(sailing)
    assert found.overshoot_deg == pytest.approx(7.0, abs=1.5)
    assert only(tack()).overshoot_deg == pytest.approx(0.0, abs=0.1)


def gusty_tack(sketch: FrozenPolar) -> tuple[Sailing, Sailing, float]:
    """Return the tack in steady wind and with a gust in it, by the polar, and the metres a pause costs."""
    plain = tack()
    rows = np.arange(plain.rows)
    wind = 6.0 * (1.0 + 0.8 * np.exp(-(((rows - 115.0) / 12.0) ** 2)))
    known = replace(plain, heel_deg=np.full(plain.rows, np.nan), wind_kn=np.full(plain.rows, 6.0))
    blown = replace(known, wind_kn=wind)
    pace = plain.speed_kn / 5.0
    made = [
        replace(
            one, speed_kn=pace * Possible(one, sketch).speed_kn(rows, np.full(rows.size, 45.0), one.heel_deg)
        )
        for one in (known, blown)
    ]
    return made[0], made[1], float(made[0].speed_kn[0])


def test_a_gust_does_not_count_when_the_polar_knows_it(sketch: FrozenPolar):
    steady, gusty, _ = gusty_tack(sketch)
    lost = only(steady, polar=sketch).metres_lost
    with_polar = only(gusty, polar=sketch).metres_lost
    without = only(gusty).metres_lost
    assert lost is not None and with_polar is not None and without is not None
    assert lost < with_polar < 1.5 * lost, "a second lost in a gust is as much longer as the boat is faster"
    assert without < lost - 5.0, "the gust hides what the tack cost"


def test_a_helm_who_bears_away_after_a_gybe_is_not_charged_to_it(sketch: FrozenPolar):
    """From 15 s on only the missing pace counts: eight degrees off for half a minute do not."""
    steady, _, _ = gusty_tack(sketch)
    rows = np.arange(steady.rows)
    clock = rows - CROSSING
    course = np.where(clock < 0, 150.0, -150.0)
    low = course - np.where((clock > 17) & (clock < 45), -8.0, 0.0)
    pace = 1.0 - 0.4 * np.where(clock < 0, 0.0, np.exp(-np.maximum(clock, 0) / 8.0))
    gybes = []
    for angle in (course, low):
        speed = pace * Possible(steady, sketch).speed_kn(rows, angle, np.full(rows.size, np.nan))
        gybes.append(only(replace(steady, angle_deg=angle, speed_kn=speed), "gybe", polar=sketch).metres_lost)
    assert gybes[0] is not None
    assert gybes[1] == pytest.approx(gybes[0], abs=0.6)


def test_a_boat_that_stopped_is_timed_by_her_pace_itself():
    sailing = tack()
    speed = sailing.speed_kn.copy()
    speed[CROSSING : CROSSING + 30] = 0.5
    stuck = only(replace(sailing, speed_kn=speed))
    assert stuck.recovery_s == pytest.approx(30.0, abs=4.0)
    assert stuck.metres_lost is not None
    assert stuck.metres_lost > only(sailing).metres_lost  # type: ignore[operator]


def test_sailing_on_stops_at_the_mark():
    sailing = tack()
    speed, angle = sailing.speed_kn.copy(), sailing.angle_deg.copy()
    speed[150:], angle[150:] = 7.0, -150.0
    rounded = replace(sailing, speed_kn=speed, angle_deg=angle)
    inside = only(rounded, legs=[(0, 150), (150, 220)]).metres_lost
    assert inside == pytest.approx(only(sailing).metres_lost, rel=0.02)


def test_the_next_manoeuvre_ends_the_sum():
    sailing = tack()
    both = manoeuvre_losses(sailing, [(sailing.at(100), "tack"), (sailing.at(125), "tack")])
    assert both[0].end_row <= 120
    assert both[1].first_row >= both[0].end_row


def test_a_gybe_is_measured_to_leeward():
    sailing = tack()
    down = replace(
        sailing,
        angle_deg=np.where(sailing.angle_deg >= 0.0, 150.0, -150.0),
        course_deg=wrap_degrees(225.0 - np.where(sailing.angle_deg >= 0.0, 150.0, -150.0)),
    )
    lost = only(down, "gybe").metres_lost
    assert lost is not None
    assert lost > 5.0


def test_without_speed_nothing_is_said():
    sailing = tack()
    found = only(replace(sailing, speed_kn=np.full(sailing.rows, np.nan)))
    assert found.metres_lost is None
    assert found.entry_kn is None
    assert found.recovery_s is None


def test_at_the_ends_of_a_log():
    sailing = tack(rows=104)
    found = manoeuvre_losses(sailing, [(sailing.at(2), "tack"), (sailing.at(103), "tack")])
    assert all(0 <= one.first_row <= one.end_row <= 104 for one in found)


def test_no_manoeuvre_no_loss():
    assert manoeuvre_losses(tack(), []) == ()


def test_a_gybe_at_the_very_end_of_a_leg_says_nothing_of_metres():
    """The finish was found at the crossing: what follows is drifting, not sailing on."""
    sailing = tack()
    drifting = sailing.speed_kn.copy()
    drifting[CROSSING + 5 :] = 0.3
    ended = replace(sailing, speed_kn=drifting)
    for end in (CROSSING + 8, CROSSING, CROSSING - 6):
        assert only(ended, legs=[(0, end)]).metres_lost is None
