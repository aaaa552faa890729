"""Timed runs."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.plays.plan import plan_play
from cringle.plays.rehearsal import (
    Run,
    awaited_by,
    learned,
    progress,
    require_known,
    skills_seen,
    tapped_durations,
    timings,
)

DAY = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)
OWNER = {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}


def run(play="small", seconds=3.0, days=0, **more):
    return Run(play, DAY + timedelta(days=days), {"a": seconds}, **more)


def test_times_are_updated_from_runs_afloat_only(make, act):
    play = make([act("a"), act("b")])
    found = timings(play, [run(), run(afloat=False, seconds=99.0), run(play="other")])
    assert found["a"].runs == 1
    assert found["b"].runs == 0
    assert timings(play, [run(afloat=False)], ashore_counts=True)["a"].runs == 1


def test_learned_holds_only_what_was_timed(make, act):
    assert set(learned(make([act("a"), act("b")]), [run()])) == {"a"}


def test_progress_by_outing_then_by_day():
    runs = [
        run(total_s=14.0),
        run(total_s=12.0),
        run(total_s=11.0, days=7, outing="2026-06-24"),
        run(days=8, afloat=False),
        run(play="other", total_s=1.0),
    ]
    found = progress("small", runs)
    assert [one.day for one in found] == ["2026-06-17", "2026-06-24", "2026-06-25"]
    assert (found[0].best_s, found[0].median_s, found[0].runs) == (12.0, 13.0, 2)
    assert found[2].best_s is None
    assert found[2].afloat == 0


def test_who_was_seen_where():
    rows = skills_seen(
        [run(people={"jib": "keo"}), run(people={"jib": "keo"}, days=3), run(people={"helm": "ines"})]
    )
    assert [(one.person, one.role, one.runs) for one in rows] == [("ines", "helm", 1), ("keo", "jib", 2)]
    assert rows[1].last == DAY + timedelta(days=3)


@pytest.mark.parametrize(
    ("times", "said"),
    [({"x": 1.0}, "no action 'x'"), ({"a": -1.0}, "accepted 0"), ({"a": float("nan")}, "accepted 0")],
)
def test_times_that_cannot_be(make, act, times, said):
    with pytest.raises(InputError, match=said):
        require_known(make([act("a")]), times)


def test_taps_become_durations(make, act, aboard):
    actions = [
        act("a"),
        act("b", "jib", after=["a"]),
        act("c", "jib"),
        act("d", "helm", not_before_cue="made"),
        act("h", "forward", hold=True, not_until=["b"]),
    ]
    cues = [{"id": "due", "words": "Due", "at_s": [9, 9, 9]}, {"id": "made", "words": "Made", "on": "b.end"}]
    play = make(actions, cues=cues)
    plan = plan_play(play, aboard, {one.id: OWNER[one.role] for one in play.actions})
    found = tapped_durations(plan, {"a": 2.5, "b": 5.0, "d": 7.5, "h": 8.0})
    assert_allclose([found["a"], found["b"], found["d"]], [2.5, 2.5, 2.5])
    assert "h" not in found
    assert set(awaited_by(plan, "b")) >= {"a"}
    assert "b" in awaited_by(plan, "d")


def test_a_tap_before_the_plan_is_no_negative_time(make, act, aboard):
    play = make([act("a", not_before_cue="due")])
    plan = plan_play(play, aboard, {"a": "tobias"})
    assert tapped_durations(plan, {"a": 4.0}) == {"a": 0.0}
