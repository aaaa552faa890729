"""Walking in the solver's model, loosely and carefully."""

from __future__ import annotations

import math

from numpy.testing import assert_allclose

from cringle.plays.constraints import order_of
from cringle.plays.deal_model import TICKS_PER_S, Ways, able_hands, build_model, ticks
from cringle.plays.play_file import Spot


def spot(station):
    return Spot(station=station, posture="legs in")


def test_ticks():
    assert ticks(1.24) == 12
    assert ticks(1.0) == TICKS_PER_S


def test_loose_ways_go_through_people_and_careful_ones_around(make, act, aboard):
    play = make([act("a")])
    marit = aboard.hand("marit")
    loose, careful = Ways(play, aboard), Ways(play, aboard, careful=True)
    assert_allclose(loose.walk_s(marit, spot("rail_3"), spot("rail_1")), 2.0)
    around = careful.walk_s(marit, spot("rail_3"), spot("rail_1"))
    assert around > 2.0
    assert careful.walk_s(marit, spot("rail_3"), spot("rail_1")) == around
    assert careful.walk_s(marit, None, spot("rail_1")) == 0.0


def test_full_places_are_those_of_others(make, act, aboard):
    careful = Ways(make([act("a")]), aboard, careful=True)
    full = careful.full_for(aboard.hand("marit"))
    assert ("rail_2", "old") in full
    assert ("rail_3", "old") not in full


def test_nobody_works_on_somebody_elses_seat(make, act, aboard):
    play = make([act("a", "jib", at={"station": "rail_2", "posture": "legs in"})])
    marit, tobias = aboard.hand("marit"), aboard.hand("tobias")
    careful = Ways(play, aboard, careful=True)
    assert not careful.may_work(marit, play.action("a"))
    assert careful.may_work(tobias, play.action("a"))
    assert Ways(play, aboard).may_work(marit, play.action("a"))


def test_ones_own_move_stays_ones_own(make, act, aboard):
    play = make([act("a", "jib", own=True), act("b", "jib")])
    assert [one.id for one in able_hands(play.action("a"), aboard.hands)] == ["marit"]
    assert len(able_hands(play.action("b"), aboard.hands)) > 1


def test_a_model_has_a_switch_for_each_able_person(make, act, aboard):
    play = make([act("a", "helm")])
    built = build_model(order_of(play), Ways(play, aboard))
    assert {who for _, who in built.gives} == {one.id for one in aboard.hands if "helm" in one.roles}
    assert len(built.times) == built.order.points.count


def test_no_way_is_infinite(make, act, aboard):
    play = make([act("a")])
    careful = Ways(play, aboard, careful=True)
    assert math.isinf(careful.walk_s(aboard.hand("marit"), spot("rail_3"), spot("foredeck")))
