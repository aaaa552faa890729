"""From a play to points and bounds."""

from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.plays.constraints import loop_ids, loop_sentence, order_of, points_of
from cringle.plays.network import at_least, distances, earliest


def times(play, **durations):
    order = order_of(play, durations or None)
    return order, earliest(distances(order.points.count, order.bounds))


def test_points_are_numbered_without_gaps(make, act):
    points = points_of(make([act("a"), act("b")]))
    numbers = [0, *points.cue.values(), *points.start.values(), *points.end.values(), points.finish]
    assert sorted(numbers) == list(range(points.count))


def test_events_by_name(make, act):
    points = points_of(make([act("a")]))
    assert points.event("a.start") == points.start["a"]
    assert points.event("a.end") == points.end["a"]
    assert points.ended("due") == points.cue["due"]
    assert points.ended("a") == points.end["a"]


def test_other_durations_than_the_written_ones(make, act):
    order, found = times(make([act("a")]), a=7.5)
    assert_allclose(found[order.points.finish], 7.5)
    assert order.durations_s == {"a": 7.5}


@pytest.mark.parametrize(
    ("field", "value", "start"),
    [("after", ["a"], 2.0), ("with", ["a"], 0.0), ("not_before_cue", "due", 10.0), ("ends_with", ["a"], 0.0)],
)
def test_each_field_binds(make, act, field, value, start):
    order, found = times(make([act("a"), act("b", "jib", **{field: value})]))
    assert_allclose(found[order.points.start["b"]], start)


def test_not_until_an_action_or_a_cue(make, act):
    held = act("b", "jib", 0.5, hold=True, not_until=["a", "due"])
    order, found = times(make([act("a"), held]))
    assert_allclose(found[order.points.end["b"]], 10.0)


def test_not_until_moves_the_start_of_an_action_that_cannot_be_held(make, act):
    order, found = times(make([act("b", "jib", 0.5, not_until=["due"])]))
    assert_allclose(found[order.points.start["b"]], 9.5)


def test_a_loop_in_words():
    chain = [
        at_least(1, 2, 0.0, "a waits for b", ("a", "b")),
        at_least(2, 3, 2.0, "b takes 2 s", ("b",)),
        at_least(3, 1, 0.0, "b waits for a", ("b", "a")),
    ]
    assert loop_sentence(chain) == "cannot all hold: a waits for b, b waits for a, and b takes 2 s"
    assert loop_ids(chain, {"a": 1, "b": 2}) == ["a", "b"]


def test_a_long_loop_leaves_the_durations_out():
    chain = [at_least(1, 2, 0.0, f"{one} waits", (one,)) for one in "abc"]
    chain.append(at_least(1, 2, 0.0, "a takes 2 s", ("a",)))
    assert "takes" not in loop_sentence(chain)


def test_cues_are_not_among_the_actions_of_a_loop():
    chain = [at_least(1, 2, 0.0, "a must be done before due", ("a", "due"))]
    assert loop_ids(chain, {"a": 1}) == ["a"]
