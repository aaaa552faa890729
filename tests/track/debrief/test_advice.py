from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.track.debrief.advice import Sailed, advise
from cringle.track.heel.discipline import HeelDiscipline, HeelShare
from cringle.track.ledger.interval import Ledger, LedgerPart
from cringle.track.ledger.ledger import PARTS
from cringle.track.turns.manoeuvre import KindSummary


def ledger(heel_known: bool = True, width: float = 4.0, **seconds: float) -> Ledger:
    parts = tuple(
        LedgerPart(
            name, seconds.get(name, 0.0), seconds.get(name, 0.0) - width, seconds.get(name, 0.0) + width
        )
        for name in PARTS
    )
    total = sum(one.seconds for one in parts)
    return Ledger(parts, LedgerPart("total", total, total - 9, total + 9), "model target", 1800.0, heel_known)


def heel(share: float, error: float = 0.0) -> HeelDiscipline:
    whole = HeelShare(1000, share, error, 2.0)
    return HeelDiscipline(whole, whole, None, {}, (), None, None, None)


def sailed(one: Ledger, **more: object) -> Sailed:
    found = Sailed(one, [("beat 1", ledger(trim=5.0)), ("run 1", one)], None, ())
    return replace(found, **more)  # type: ignore[arg-type]


def by_kind(found):
    return {one.kind: one for one in found}


def test_the_dearest_is_the_change_and_the_next_the_try():
    found = by_kind(advise(sailed(ledger(tack=60.0, trim=30.0, angle=10.0))))
    assert (found["change"].cause, found["try"].cause) == ("tack", "trim")
    assert found["change"].seconds == 60.0


def test_where_is_the_leg_that_cost_the_most():
    found = by_kind(advise(sailed(ledger(trim=30.0))))
    assert found["change"].where == "most on run 1 (30 s)"


def test_the_unknown_is_nobodys_job():
    found = by_kind(advise(sailed(ledger(unknown=99.0, gybe=20.0))))
    assert found["change"].cause == "gybe"


def test_what_is_not_told_apart_is_no_change_but_something_to_measure():
    found = by_kind(advise(sailed(ledger(trim=30.0, width=50.0))))
    assert "change" not in found
    assert "trim" in found["try"].what


def test_without_heel_the_try_is_to_measure_it():
    found = by_kind(advise(sailed(ledger(heel_known=False, tack=40.0))))
    assert found["try"].cause == "heel"
    assert "log its heel" in found["try"].how


def test_heel_well_held_is_kept():
    found = by_kind(advise(sailed(ledger(tack=40.0), heel=heel(0.7))))
    assert found["keep"].cause == "heel"
    assert "70 %" in found["keep"].what


def test_else_the_best_leg_is_kept():
    found = by_kind(advise(sailed(ledger(tack=40.0), heel=heel(0.3))))
    assert found["keep"].where == "on beat 1"


@pytest.mark.parametrize(("error", "word", "action"), [(4.0, "more", "ease"), (-3.0, "less", "sheet in")])
def test_heel_says_which_way(error, word, action):
    found = by_kind(advise(sailed(ledger(heel=40.0), heel=heel(0.2, error))))["change"]
    assert word in found.what
    assert found.how.startswith(action)


@pytest.mark.parametrize(
    ("up", "run", "what", "how"),
    [
        (6.0, None, "upwind 6° too low", "steer higher"),
        (-4.0, 1.0, "upwind 4° too high", "steer lower"),
        (0.5, 8.0, "on the run 8° too low", "steer higher"),
        (0.5, -8.0, "on the run 8° too high", "steer lower"),
        (0.2, 0.3, "wandering", "steer smaller"),
        (None, None, "angles off", "steer to the target"),
    ],
)
def test_angles_say_which_way(up, run, what, how):
    one = sailed(ledger(angle=40.0), angle_error_up_deg=up, angle_error_run_deg=run)
    found = by_kind(advise(one))["change"]
    assert found.what.startswith(what)
    assert found.how.startswith(how)


def test_every_cause_has_words():
    for name in PARTS:
        if name != "unknown":
            found = by_kind(advise(sailed(ledger(**{name: 50.0}))))["change"]
            assert found.cause == name
            assert found.how


def test_at_most_three_one_of_each():
    found = advise(sailed(ledger(tack=60.0, gybe=50.0, trim=40.0, heel=30.0), heel=heel(0.8)))
    assert [one.kind for one in found] == ["keep", "change", "try"]


def test_nothing_lost_nothing_to_change():
    assert "change" not in by_kind(advise(sailed(ledger())))


def test_no_name_of_a_person_can_get_in():
    kind = KindSummary("tack", 3, None, None, None, None, None)
    found = by_kind(advise(sailed(ledger(tack=40.0), kinds=(kind,))))["change"]
    assert found.what == "tacks cost 40 s"
