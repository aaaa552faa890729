"""A plan as a flow of events."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.plays.crew import usual_deal
from cringle.plays.forward import flow_of, propagate, tail_lengths
from cringle.plays.plan import plan_play

OWNER = {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}


def planned(make, act, aboard, actions, **head):
    play = make(actions, **head)
    return plan_play(play, aboard, {one.id: OWNER[one.role] for one in play.actions})


def run(plan, lasting=None, **cues):
    flow = flow_of(plan)
    given = {
        one.id: np.array([cues.get(one.id, one.at_s[1])], dtype=float)
        for one in plan.play.cues
        if one.at_s is not None
    }
    times = lasting or [one.likely_s for one in plan.play.actions]
    arrays = [np.array([one], dtype=float) for one in times]
    return flow, propagate(flow, arrays, given)[:, 0], arrays


def test_likely_times_give_back_the_plan(library, hands, aboard):
    for name, text in library.items():
        plan = plan_play(text.play, aboard, usual_deal(text, hands))
        flow, at, _ = run(plan)
        assert_allclose(at[flow.finish], plan.makespan_s, atol=1e-9, err_msg=name)
        for action in text.play.actions:
            start, end = flow.spans[[one.id for one in text.play.actions].index(action.id)]
            assert_allclose(at[end], plan.end_s[action.id], atol=1e-9, err_msg=f"{name} {action.id}")
            assert_allclose(at[start], plan.start_s[action.id], atol=1e-9, err_msg=f"{name} {action.id}")


def test_a_late_action_pushes_what_waits(make, act, aboard):
    plan = planned(make, act, aboard, [act("a"), act("b", "jib", after=["a"])])
    flow, at, _ = run(plan, [5.0, 2.0])
    assert_allclose(at[flow.finish], 7.0)


def test_ends_that_are_meant_to_meet_miss_by_the_difference(make, act, aboard):
    plan = planned(
        make, act, aboard, [act("hoist", "main", 4.0, ends_with=["pole"]), act("pole", "forward", 2.5)]
    )
    flow, at, _ = run(plan, [5.0, 2.0])
    assert_allclose(at[flow.end["hoist"]] - at[flow.end["pole"]], 1.5)


def test_a_held_action_ends_with_what_it_waits_for(make, act, aboard):
    hold = act("help", "jib", 1.0, hold=True, ends_with=["pull"])
    plan = planned(make, act, aboard, [act("pull", "main", 4.0), hold])
    flow, at, _ = run(plan, [6.0, 1.0])
    assert_allclose(at[flow.end["help"]], 6.0)


def test_starts_that_meet_wait_for_both(make, act, aboard):
    actions = [
        act("x", "helm", 1.0),
        act("y", "forward", 2.0),
        act("a", "main", after=["x"], **{"with": ["b"]}),
        act("b", "jib", after=["y"]),
    ]
    plan = planned(make, act, aboard, actions)
    flow, at, _ = run(plan, [4.0, 2.0, 1.0, 1.0])
    assert_allclose([at[flow.spans[2][0]], at[flow.spans[3][0]]], [4.0, 4.0])


def test_a_late_cue_pushes(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", not_before_cue="due")])
    flow, at, _ = run(plan, due=13.0)
    assert_allclose(at[flow.finish], 15.0)


def test_an_end_at_a_cue_is_aimed_at(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", ends_at_cue="due")])
    flow, at, _ = run(plan, [3.0])
    assert_allclose(at[flow.end["a"]], 11.0)


def test_one_person_waits_for_themselves(make, act, aboard):
    plan = planned(make, act, aboard, [act("a"), act("b")])
    flow, at, _ = run(plan, [3.0, 4.0])
    assert_allclose(at[flow.finish], 7.0)


def test_tails_are_the_longest_way_to_the_finish(make, act, aboard):
    plan = planned(make, act, aboard, [act("a"), act("b", "jib", 3.0, after=["a"]), act("c", "helm", 1.0)])
    flow, at, arrays = run(plan)
    tails = tail_lengths(flow, at[:, None], arrays)[:, 0]
    assert_allclose(tails[flow.end["a"]], 3.0)
    assert_allclose(tails[flow.end["c"]], 0.0)
    assert_allclose(tails[0], 5.0)
    assert tails[plan.order.points.cue["due"]] == -np.inf


@pytest.mark.parametrize("seed", range(5))
def test_more_time_for_any_action_never_ends_sooner(library, hands, aboard, seed):
    text = library["set_straight"]
    plan = plan_play(text.play, aboard, usual_deal(text, hands))
    random = np.random.default_rng(seed)
    times = [random.uniform(*one.duration_s[::2]) for one in text.play.actions]
    longer = [one + random.uniform(0, 1) for one in times]
    flow, before, _ = run(plan, times)
    _, after, _ = run(plan, longer)
    assert after[flow.finish] >= before[flow.finish] - 1e-9
