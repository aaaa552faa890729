"""Who is where, and who is in the way."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from numpy.testing import assert_allclose

from cringle.plays.check import check_plan
from cringle.plays.plan import Aboard, plan_play
from cringle.plays.whereabouts import (
    hand_conflicts,
    move_conflicts,
    off_the_rail,
    place_conflicts,
    settle,
    taken_places,
    tracks_of,
)

OWNER = {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}
RAIL_2 = {"station": "rail_2", "posture": "legs in"}
RAIL_3 = {"station": "rail_3", "posture": "legs in"}
CENTRE = {"station": "centre", "posture": "centreline"}
LOW = {"station": "leeward_1", "posture": "leeward forward"}
HATCH = {"station": "hatch", "posture": "hatch"}


def planned(play, aboard):
    return plan_play(play, aboard, {one.id: OWNER[one.role] for one in play.actions})


def track(play, aboard, person):
    tracks = tracks_of(planned(play, aboard), aboard)
    return next(one for one in tracks if one.hand.id == person)


def test_nobody_moves(make, act, aboard):
    tracks = tracks_of(planned(make([act("a")]), aboard), aboard)
    assert [one.legs for one in tracks] == [(), (), (), ()]


def test_a_move_is_a_leg(make, act, aboard):
    (leg,) = track(make([act("a", at=RAIL_2, to=CENTRE)]), aboard, "tobias").legs
    assert (leg.start_s, leg.end_s, leg.action) == (0.0, 2.0, "a")
    assert leg.path == (("rail_2", "old"), ("centre", "old"))


def test_a_walk_between_two_actions_ends_as_the_second_begins(make, act, aboard):
    play = make([act("a", at=RAIL_2), act("b", at=CENTRE, not_before_cue="due")])
    (leg,) = track(play, aboard, "tobias").legs
    assert_allclose([leg.start_s, leg.end_s], [9.0, 10.0])
    assert leg.action is None


def test_another_posture_in_the_same_place_takes_no_time(make, act, aboard):
    play = make([act("a", at={"station": "rail_2", "posture": "hike"})])
    (leg,) = track(play, aboard, "tobias").legs
    assert leg.start_s == leg.end_s
    assert leg.goal.posture == "hike"


def test_places_taken_follow_each_other(make, act, aboard):
    one = track(make([act("a", "jib", 4.0, at=RAIL_3, to=HATCH)]), aboard, "marit")
    taken = taken_places(one, aboard.deck, 10.0)
    assert [part.node[0] for part in taken] == ["rail_3", "centre", "hatch"]
    assert [part.passing for part in taken] == [False, True, False]
    assert all(a.end_s == b.start_s for a, b in pairwise(taken))
    assert taken[-1].end_s == 10.0
    assert_allclose(taken[0].end_s, 4.0 * 0.5 / 1.9)
    assert_allclose(taken[1].end_s, 4.0 * (0.5 + 0.5 / 1.9))


def test_two_in_a_place_for_one(make, act, aboard):
    play = make([act("a", "jib", 4.0, at=RAIL_3, to=HATCH)])
    (sentence,) = check_plan(play, aboard, {"a": "marit"}).plan.conflicts
    assert "Marit and Keo would be in in the hatch" in sentence or "Keo and Marit" in sentence
    assert "it holds 1" in sentence


def test_nobody_walks_through_a_full_place(make, act, aboard):
    roles = make([act("a")]).roles
    spots = [{"id": one.id, "at": one.at.model_dump(mode="json")} for one in roles]
    for one in spots:
        if one["id"] in ("main", "forward"):
            one["at"] = CENTRE
    full = make([act("a", "jib", 2.0, at=RAIL_3, to=LOW)], roles=spots)
    (sentence,) = check_plan(full, aboard, {"a": "marit"}).plan.conflicts
    assert sentence.startswith("Marit cannot pass through cockpit")
    assert "Tobias and Keo in the way" in sentence


def test_a_way_round_is_taken_when_there_is_time(make, act, aboard):
    spots = [
        {"id": "helm", "at": {"station": "rail_4", "posture": "aft"}},
        {"id": "main", "at": {"station": "rail_2", "posture": "legs in"}},
        {"id": "jib", "at": {"station": "rail_3", "posture": "legs in"}},
        {"id": "forward", "at": {"station": "stern", "posture": "aft"}},
    ]
    slow = act("a", "jib", 4.0, at=RAIL_3, to={"station": "rail_1", "posture": "legs in"})
    plan = planned(make([slow], roles=spots), aboard)
    tracks = tracks_of(plan, aboard)
    assert place_conflicts(tracks, aboard, 5.0)
    settled = settle(tracks, aboard, 5.0)
    assert place_conflicts(settled, aboard, 5.0) == []
    quick = planned(make([{**slow, "duration_s": [2, 2, 2]}], roles=spots), aboard)
    tracks = settle(tracks_of(quick, aboard), aboard, 5.0)
    assert "cannot pass through rail, second" in place_conflicts(tracks, aboard, 5.0)[0]


def test_faster_than_walking_is_a_conflict(make, act, aboard):
    plan = planned(make([act("a", seconds=0.5, at=RAIL_2, to=CENTRE)]), aboard)
    assert move_conflicts(plan, aboard) == ["Tobias cannot do a in 0.5 s: the way takes 1 s"]


def test_no_way_is_a_conflict(make, act, aboard):
    apart = replace(aboard.deck.places["centre"], neighbours={})
    lonely = {**aboard.deck.places, "centre": apart}
    lonely = {
        name: replace(one, neighbours={k: v for k, v in one.neighbours.items() if k != "centre"})
        for name, one in lonely.items()
    }
    from cringle.plays.deck import deck_of

    cut = Aboard(aboard.hands, deck_of(list(lonely.values())))
    plan = planned(make([act("a", at=RAIL_2, to=CENTRE)]), cut)
    assert "there is no way" in move_conflicts(plan, cut)[0]


def test_a_third_hand_is_a_conflict(make, act, aboard):
    actions = [
        act("steer", background=True, hands=1, line="tiller"),
        act("ease", background=True, hands=1, line="mainsheet"),
        act("hold", hands=1, line="vang"),
    ]
    plan = planned(make(actions), aboard)
    (sentence,) = hand_conflicts(plan, aboard)
    assert sentence.startswith("Tobias would need 3 hands at 0.0 s")
    assert "steer (tiller)" in sentence


def test_time_off_the_rail(make, act, aboard):
    actions = [
        act("in", at=RAIL_2, to=CENTRE),
        act("out", at=CENTRE, to=RAIL_2, not_before_cue="due"),
    ]
    plan = planned(make(actions), aboard)
    off = off_the_rail(tracks_of(plan, aboard), plan.makespan_s)
    assert off["tobias"] == [(0.0, 12.0)]
    assert off["marit"] == []
    assert off["keo"] == [(0.0, 12.0)]


@pytest.mark.parametrize("name", ["tack", "gybe_kite", "plane_gybe"])
def test_everybody_ends_on_the_new_side(library, hands, aboard, name):
    from cringle.plays.crew import usual_deal

    text = library[name]
    plan = plan_play(text.play, aboard, usual_deal(text, hands))
    for one in tracks_of(plan, aboard):
        if one.legs:
            assert one.legs[-1].goal.side == "new", (name, one.hand.id)
