"""Moves of people who are not aboard fall away."""

from __future__ import annotations

from cringle.plays.shorten import without_idle_moves

ALL = ("helm", "main", "jib", "forward")


def test_nothing_changes_with_everybody_aboard(library):
    for text in library.values():
        assert without_idle_moves(text.play, ALL) is text.play


def test_what_waited_for_a_move_waits_for_what_the_move_waited_for(make, act):
    actions = [
        act("a", "jib"),
        act("cross", "forward", own=True, after=["a"], not_before_cue="due"),
        act("on", "forward", own=True, after=["cross"]),
        act("b", "jib", after=["on"]),
    ]
    short = without_idle_moves(make(actions), ("helm", "main", "jib"))
    assert [one.id for one in short.actions] == ["a", "b"]
    assert short.action("b").after == ("a",)


def test_the_cue_of_a_move_is_handed_on(make, act):
    actions = [act("cross", "forward", own=True, not_before_cue="due"), act("b", "jib", after=["cross"])]
    short = without_idle_moves(make(actions), ("jib", "helm"))
    assert short.action("b").not_before_cue == "due"


def test_a_move_that_gives_a_cue_stays(make, act):
    cues = [
        {"id": "due", "words": "Due", "at_s": [9, 9, 9]},
        {"id": "over", "words": "Over", "on": "cross.end"},
    ]
    play = make([act("cross", "forward", own=True)], cues=cues)
    assert without_idle_moves(play, ("helm", "jib")) is play


def test_work_never_falls_away(library):
    short = without_idle_moves(library["tack"].play, ("helm", "main"))
    gone = {one.id for one in library["tack"].play.actions} - {one.id for one in short.actions}
    assert gone == {"cross_jib", "cross_forward"}
