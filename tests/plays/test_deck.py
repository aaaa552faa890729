"""Places and ways."""

from __future__ import annotations

import math

import pytest
from numpy.testing import assert_allclose

from cringle.plays.deck import DeckPlace, deck_of
from cringle.plays.play_file import Spot


def spot(station, side="old", posture="legs in"):
    return Spot(station=station, posture=posture, side=side)


def test_neighbours_and_ways(deck):
    assert_allclose(deck.walk_s(("rail_2", "old"), ("centre", "old")), 1.0)
    assert_allclose(deck.walk_s(("rail_2", "old"), ("hatch", "old")), 1.9)
    assert deck.walk_s(("rail_2", "old"), ("rail_2", "old")) == 0.0


def test_across_goes_by_the_middle(deck):
    path, reached = deck.route(("rail_2", "old"), ("rail_2", "new"))
    assert path == [("rail_2", "old"), ("centre", "old"), ("rail_2", "new")]
    assert_allclose(reached, [0.0, 1.0, 2.0])


def test_across_forward_goes_by_the_hatch(deck):
    path, _ = deck.route(("rail_1", "old"), ("rail_1", "new"))
    assert path[1] == ("hatch", "old")


def test_a_place_on_the_centreline_is_the_same_on_both_sides(deck):
    assert deck.node(spot("hatch", "new")) == deck.node(spot("hatch"))
    assert deck.node(spot("rail_1", "new")) != deck.node(spot("rail_1"))


def test_around_a_full_place(deck):
    path, _ = deck.route(("rail_3", "old"), ("rail_1", "old"), [("rail_2", "old")])
    assert ("rail_2", "old") not in path


def test_no_way_through(deck):
    assert deck.route(("rail_2", "old"), ("foredeck", "old"), [("hatch", "old")]) is None


def test_ways_go_both_ways_whoever_named_them():
    one = DeckPlace("a", "A", 0, 0, 0, 1, {"b": 2.0}, True)
    other = DeckPlace("b", "B", 0, 0, 0, 1, {}, True)
    assert deck_of([one, other]).walk_s(("b", "old"), ("a", "old")) == 2.0


def test_a_place_apart_is_never_reached():
    one, other = (DeckPlace(name, name, 0, 0, 0, 1, {}, True) for name in "ab")
    assert math.isinf(deck_of([one, other]).walk_s(("a", "old"), ("b", "old")))


def test_no_place_no_walk(deck):
    assert deck.between_s(None, spot("rail_1")) == 0.0
    assert deck.between_s(spot("rail_1"), None) == 0.0


def test_names_say_the_side(deck):
    assert deck.name(("rail_2", "new")).endswith("new side")
    assert not deck.name(("hatch", "old")).endswith("new side")


@pytest.mark.parametrize("start", ["rail_1", "rail_4", "hatch", "stern", "leeward_1"])
def test_ways_are_as_long_back(deck, start):
    for goal in deck.places:
        there, back = deck.walk_s((start, "old"), (goal, "old")), deck.walk_s((goal, "old"), (start, "old"))
        assert_allclose(there, back)


def test_no_way_is_longer_than_by_a_third_place(deck):
    nodes = [(name, "old") for name in deck.places]
    for a in nodes:
        for b in nodes:
            for c in nodes:
                assert deck.walk_s(a, c) <= deck.walk_s(a, b) + deck.walk_s(b, c) + 1e-9
