"""Activities on limited resources."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cringle.errors import InputError
from cringle.plays.activities import Activity, schedule_activities

HAND = {"hand": 1}


def test_one_hand_does_one_after_the_other():
    found = schedule_activities([Activity("a", 3, HAND), Activity("b", 2, HAND)], {"hand": 1})
    assert (found.makespan, found.bound, found.status) == (5, 5, "proven")


def test_two_hands_do_both():
    found = schedule_activities([Activity("a", 3, HAND), Activity("b", 2, HAND)], {"hand": 2})
    assert found.makespan == 3


def test_precedence():
    found = schedule_activities([Activity("a", 3, {}), Activity("b", 2, {}, ("a",))], {})
    assert found.makespan == 5
    assert found.start["b"] >= 3


def test_more_than_there_is_is_impossible():
    found = schedule_activities([Activity("a", 3, {"hand": 3})], {"hand": 2})
    assert found.status == "impossible"
    assert found.makespan is None


def test_nothing_to_do():
    assert schedule_activities([Activity("a", 0, {})], {}).makespan == 0


@pytest.mark.parametrize(
    ("activities", "said"),
    [
        ([Activity("a", -1, {})], "negative"),
        ([Activity("a", 1, {"hand": -1})], "negative"),
        ([Activity("a", 1, {}, ("b",))], "no such activity"),
        ([Activity("a", 1, {"rope": 1})], "no such activity or resource 'rope'"),
        ([Activity("a", 1, {}), Activity("a", 1, {})], "same id"),
        ([Activity("a", 1, {}, ("b",)), Activity("b", 1, {}, ("a",))], "wait for each other: a, b"),
    ],
)
def test_bad_input_is_named(activities, said):
    with pytest.raises(InputError, match=said):
        schedule_activities(activities, {"hand": 2})


def hard(count=26):
    """Return a random instance that two workers do not prove at once."""
    import numpy as np

    random = np.random.default_rng(3)
    return [
        Activity(f"a{n}", int(random.integers(1, 11)), {r: int(random.integers(1, 8)) for r in "pqrs"})
        for n in range(count)
    ]


def test_at_the_limit_the_best_comes_back_as_not_proven():
    found = schedule_activities(hard(60), dict.fromkeys("pqrs", 10), limit_s=0.6)
    assert found.status == "not proven"
    assert found.makespan is None or found.makespan >= found.bound


def test_it_can_be_stopped():
    found = schedule_activities(hard(60), dict.fromkeys("pqrs", 10), limit_s=60.0, stop=lambda: True)
    assert found.status == "not proven"
    assert found.seconds < 30.0


@settings(max_examples=15)
@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 2), st.booleans()), min_size=1, max_size=6))
def test_a_schedule_keeps_precedence_and_capacity(raw):
    activities = [
        Activity(f"a{n}", length, {"hand": need}, (f"a{n - 1}",) if chained and n else ())
        for n, (length, need, chained) in enumerate(raw)
    ]
    found = schedule_activities(activities, {"hand": 2})
    assert found.status == "proven"
    for one in activities:
        for before in one.after:
            assert found.start[one.id] >= found.start[before] + next(
                x.duration for x in activities if x.id == before
            )
    for moment in range(found.makespan):
        used = sum(
            one.requests["hand"]
            for one in activities
            if found.start[one.id] <= moment < found.start[one.id] + one.duration
        )
        assert used <= 2
