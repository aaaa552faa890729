"""Dealing a play anew."""

from __future__ import annotations

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.plays.check import check_plan
from cringle.plays.deal import deal_play, usual_hands
from cringle.plays.plan import Aboard
from cringle.plays.replay import broken_rules
from cringle.plays.shorten import without_idle_moves

ROLES = ("helm", "main", "jib", "forward")
SKILLS = ("calls_lane", "calls_puffs", "works_kite_halyard", "trims_kite", "works_foredeck", "packs_kite")


def all_round(aboard, count):
    return Aboard([replace(one, roles=ROLES, skills=SKILLS) for one in aboard.hands[:count]], aboard.deck)


def test_the_usual_crew_keeps_what_it_knows(library, aboard):
    for name in ("tack", "set_straight", "gybe_kite"):
        found = deal_play(library[name].play, aboard)
        assert found.status == "proven", name
        assert found.changes == ()


def test_two_people_share_what_four_did(make, act, aboard):
    actions = [act(name, role) for name, role in zip("abcd", ROLES, strict=True)]
    found = deal_play(make(actions), all_round(aboard, 2))
    assert found.status == "proven"
    assert_allclose(found.makespan_s, 4.0)
    assert set(found.deal.values()) == {"ines", "tobias"}
    assert {"a", "b"} & set(found.changes) == set()


def test_three_that_must_go_on_together_are_too_much_for_two(make, act, aboard):
    actions = [act(name, role, ends_at_cue="due") for name, role in zip("abc", ROLES, strict=False)]
    found = deal_play(make(actions), all_round(aboard, 2))
    assert found.status == "impossible"
    assert found.reason == "a, b, c must go on at the same time: more than 2 people"
    assert found.deal == {}


def test_nobody_hauls_with_two_hands_beside_the_tiller(make, act, aboard):
    steer = act("steer", "helm", 0.5, hands=1, hold=True, background=True, not_until=["due"])
    early = act("haul", "helm", 2.0, hands=2, before_cue="due")
    late = {**steer, "with": ["start"]}
    start = act("start", "main", 0.5, ends_at_cue="first")
    cues = [
        {"id": "due", "words": "Due", "at_s": [10, 10, 10]},
        {"id": "first", "words": "First", "at_s": [0.5, 0.5, 0.5]},
    ]
    alone = Aboard([one for one in aboard.hands if one.id in ("ines", "tobias")], aboard.deck)
    found = deal_play(make([start, late, early], cues=cues), alone)
    assert found.status == "impossible"
    one_handed = [start, late, {**early, "hands": 1}]
    assert deal_play(make(one_handed, cues=cues), alone).status == "proven"


def test_nobody_has_three_hands_for_three_one_handed_things(make, act, aboard):
    held = {"hands": 1, "background": True, "ends_at_cue": "due"}
    both = [act("steer", "helm", 9.5, **held), act("ease", "helm", 9.5, **held)]
    alone = Aboard([one for one in aboard.hands if one.id in ("ines", "tobias")], aboard.deck)
    found = deal_play(make([*both, act("point", "helm", 2.0, hands=1, before_cue="due")]), alone)
    assert found.status == "impossible"
    free = deal_play(make([*both, act("point", "helm", 2.0, hands=0, before_cue="due")]), alone)
    assert free.status == "proven"


def test_a_skill_nobody_has_is_impossible_and_named(make, act, aboard):
    found = deal_play(make([act("a", None, skill="juggles")]), aboard)
    assert found.status == "impossible"
    assert found.reason == "nobody aboard can: a needs juggles"


def test_a_loop_is_impossible_and_named(make, act, aboard):
    found = deal_play(make([act("a", after=["b"]), act("b", after=["a"])]), aboard)
    assert found.status == "impossible"
    assert "a waits for b" in found.reason


def test_a_missing_skill_moves_the_work(library, aboard):
    hands = [replace(one, skills=()) if one.id == "tobias" else one for one in aboard.hands]
    hands = [
        replace(one, skills=(*one.skills, "works_kite_halyard")) if one.id == "keo" else one for one in hands
    ]
    hands = [replace(one, roles=(*one.roles, "main")) if one.id == "keo" else one for one in hands]
    found = deal_play(library["set_straight"].play, Aboard(hands, aboard.deck))
    assert found.deal["hoist"] == "keo"
    assert "hoist" in found.changes


def test_the_fewest_changes_among_the_shortest(make, act, aboard):
    actions = [act("a", "main"), act("b", "jib"), act("c", "main", after=["a"])]
    found = deal_play(make(actions), all_round(aboard, 4))
    assert found.changes == ()
    given = deal_play(make(actions), all_round(aboard, 4), usual={"a": "keo", "b": "keo", "c": "keo"})
    assert_allclose(given.makespan_s, 4.0)
    assert len(given.changes) == 1


def test_the_limit_never_says_impossible(library, aboard):
    found = deal_play(library["set_after_gybe"].play, all_round(aboard, 2), limit_s=1e-4)
    assert found.status == "not proven"


def test_it_can_be_stopped(library, aboard):
    found = deal_play(library["set_after_gybe"].play, all_round(aboard, 3), stop=lambda: True)
    assert found.status in ("proven", "not proven")


@pytest.mark.parametrize("count", [1, 7])
def test_two_to_six_people(library, aboard, count):
    hands = [replace(aboard.hands[0], id=f"h{n}") for n in range(count)]
    with pytest.raises(InputError, match="2 to 6"):
        deal_play(library["tack"].play, Aboard(hands, aboard.deck))


@pytest.mark.parametrize("count", [2, 3, 4])
def test_every_deal_of_the_library_keeps_every_rule(library, aboard, count):
    crew = all_round(aboard, count)
    for name, text in library.items():
        found = deal_play(text.play, crew)
        assert found.status in ("proven", "impossible"), name
        if not found.deal:
            continue
        play = without_idle_moves(text.play, [one.role for one in crew.hands])
        plan = check_plan(play, crew, found.deal, like_s=found.start_s).plan
        assert plan.makespan_s == pytest.approx(found.makespan_s, abs=0.11), name
        assert broken_rules(plan, crew) == [], name


def test_more_hands_never_make_a_play_longer(library, aboard):
    for name in ("tack", "set_straight", "speed_build"):
        lengths = [deal_play(library[name].play, all_round(aboard, count)).makespan_s for count in (3, 4)]
        assert lengths[1] <= lengths[0] + 1e-9, name


def test_who_usually_does_it(make, act, aboard):
    play = make([act("a", "jib"), act("b", None, skill="packs_kite"), act("c", "jib", skill="juggles")])
    assert usual_hands(play, aboard.hands) == {"a": "marit", "b": "keo"}
