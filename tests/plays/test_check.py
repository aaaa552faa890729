"""A whole check."""

from __future__ import annotations

import pytest

from cringle.plays.check import check_plan
from cringle.plays.crew import usual_deal


def test_every_play_of_the_library_checks_without_conflict(library, hands, aboard):
    for name, text in library.items():
        checked = check_plan(text.play, aboard, usual_deal(text, hands))
        assert checked.plan.conflicts == (), name
        assert checked.plan.feasible
        assert checked.warnings == ()
        assert set(checked.off_rail_s) == {"ines", "tobias", "marit", "keo"}


def test_the_boat_never_loses_the_whole_rail_upwind(library, hands, aboard):
    checked = check_plan(library["puff_lull"].play, aboard, usual_deal(library["puff_lull"], hands))
    assert all(spans == [] for spans in checked.off_rail_s.values())


def test_an_impossible_play_has_no_tracks(make, act, aboard):
    play = make([act("a", after=["b"]), act("b", after=["a"])])
    checked = check_plan(play, aboard, {"a": "tobias", "b": "tobias"})
    assert checked.tracks == ()
    assert checked.off_rail_s == {}
    assert set(checked.plan.loop) == {"a", "b"}


def test_a_turn_that_leaves_faster_is_flagged(make, act, aboard):
    play = make([act("a")], kind="gybe", speed_after_share=1.1)
    checked = check_plan(play, aboard, {"a": "tobias"})
    assert "RRS 42.3(b)" in checked.warnings[0]
    assert checked.plan.feasible


def test_other_durations_change_the_length(make, act, aboard):
    play = make([act("a")])
    assert check_plan(play, aboard, {"a": "tobias"}, durations_s={"a": 5.0}).plan.makespan_s == pytest.approx(
        5.0
    )


def test_an_order_found_elsewhere_is_tried_first(make, act, aboard):
    play = make([act("a"), act("b")])
    deal = {"a": "tobias", "b": "tobias"}
    for first, second in (("a", "b"), ("b", "a")):
        plan = check_plan(play, aboard, deal, like_s={first: 0.0, second: 2.0}).plan
        assert plan.start_s[first] < plan.start_s[second]
