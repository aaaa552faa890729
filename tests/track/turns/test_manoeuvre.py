from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from cringle.track.turns.loss import TRACE_S, Loss
from cringle.track.turns.manoeuvre import PlayPlan, UsualFault, judged, plan_for, summarised

PLAIN = Loss(
    at=datetime(2026, 6, 17, 18, 0, tzinfo=UTC),
    kind="tack",
    entry_kn=5.0,
    lowest_kn=3.0,
    exit_kn=5.0,
    turn_rate_deg_per_s=12.0,
    recovery_s=20.0,
    metres_lost=12.0,
    overshoot_deg=2.0,
    heel_before_deg=15.0,
    heel_after_deg=14.0,
    heel_trace_deg=(None,) * len(TRACE_S),
    first_row=10,
    end_row=40,
)
STOPS = UsualFault("Stops head to wind", "turned too fast", "turn slower")
SLOW = UsualFault("No speed for ten lengths", "sheeted too early", "wait")
PLAN = PlayPlan("tack", "tack", "Tack", 15.0, (STOPS, SLOW))


def loss(metres: float | None, kind: str = "tack", **more: object) -> Loss:
    return replace(PLAIN, metres_lost=metres, kind=kind, **more)  # type: ignore[arg-type]


def test_ranks_within_a_kind():
    found = judged([loss(12.0), loss(8.0), loss(9.0, "gybe"), loss(20.0), loss(None)])
    assert [one.rank for one in found] == [2, 1, 1, 3, None]


def test_best_middle_and_worst():
    found = summarised([loss(12.0), loss(8.0), loss(20.0), loss(None), loss(3.0, "gybe")], "tack")
    assert (found.count, found.median_m) == (4, 12.0)
    assert found.best is not None and found.worst is not None
    assert (found.best.metres_lost, found.worst.metres_lost) == (8.0, 20.0)
    assert found.mean_m == pytest.approx(40.0 / 3.0)


def test_none_of_a_kind():
    found = summarised([], "gybe")
    assert (found.count, found.best, found.median_m) == (0, None, None)


@pytest.mark.parametrize(
    ("changed", "shows"),
    [
        ({"lowest_kn": 1.5}, "nearly stopped"),
        ({"recovery_s": None}, "took long to get back to speed"),
        ({"recovery_s": 38.0}, "took long to get back to speed"),
        ({"overshoot_deg": 9.0}, "came out too low"),
        ({"heel_after_deg": 26.0}, "heeled much more afterwards"),
        ({"turn_rate_deg_per_s": 4.0}, "turned slowly"),
        ({"turn_rate_deg_per_s": 28.0}, "turned very fast"),
    ],
)
def test_what_a_trace_shows(changed, shows):
    assert judged([replace(PLAIN, **changed)])[0].shows == (shows,)


def test_a_good_one_shows_nothing():
    found = judged([PLAIN], [PLAN])[0]
    assert found.shows == ()
    assert found.fault is None


def test_the_plays_own_fault_that_fits():
    stopped, slow = judged([loss(25.0, lowest_kn=1.0), loss(25.0, recovery_s=40.0)], [PLAN])
    assert stopped.fault == STOPS
    assert slow.fault == SLOW


def test_a_trace_the_play_has_no_word_for():
    assert judged([loss(15.0, overshoot_deg=12.0)], [PLAN])[0].fault is None


def test_against_the_plan():
    assert judged([PLAIN], [PLAN])[0].late_s == 5.0
    assert judged([PLAIN])[0].late_s is None
    assert judged([replace(PLAIN, recovery_s=None)], [PLAN])[0].late_s is None


def test_unknown_numbers_show_nothing():
    blank = replace(
        PLAIN,
        lowest_kn=None,
        recovery_s=None,
        overshoot_deg=None,
        heel_after_deg=None,
        turn_rate_deg_per_s=None,
    )
    assert judged([blank], [PLAN])[0].shows == ()


def test_plan_for_a_kind():
    assert plan_for("tack", [PLAN]) == PLAN
    assert plan_for("gybe", [PLAN]) is None
