"""A play in time: durations, order of one person's actions, slack, loops, conflicts."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.plays.crew import usual_deal
from cringle.plays.plan import exclude_each_other, plan_play
from cringle.plays.replay import broken_rules

RAIL_2 = {"station": "rail_2", "posture": "legs in"}
CENTRE = {"station": "centre", "posture": "centreline"}


def planned(make, act, aboard, actions, **head):
    play = make(actions, **head)
    return plan_play(play, aboard, {one.id: owner(one.role) for one in play.actions})


def owner(role):
    return {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}[role]


def test_chain_adds_up(make, act, aboard):
    plan = planned(make, act, aboard, [act("a"), act("b", "jib", 3.0, after=["a"]), act("c", "helm", 1.0)])
    assert plan.feasible
    assert_allclose(plan.makespan_s, 5.0)
    assert plan.critical == ("a", "b")
    assert_allclose(plan.slack_s["c"], 4.0)
    assert_allclose(plan.latest_start_s["c"], 4.0)


def test_one_person_does_one_thing_at_a_time(make, act, aboard):
    plan = planned(make, act, aboard, [act("a"), act("b", "main", 3.0)])
    assert_allclose(plan.makespan_s, 5.0)
    first, second = sorted(("a", "b"), key=plan.start_s.get)
    assert_allclose(plan.start_s[second], plan.end_s[first])


def test_order_is_chosen_that_ends_sooner(make, act, aboard):
    actions = [act("long", "main", 4.0), act("short", "main", 1.0), act("tail", "jib", 5.0, after=["short"])]
    plan = planned(make, act, aboard, actions)
    assert plan.start_s["short"] == 0.0
    assert_allclose(plan.makespan_s, 6.0)


def test_both_hands_full_beside_a_background_action_takes_turns(make, act, aboard):
    steer = act("steer", "helm", 1.0, hands=1, background=True)
    plan = planned(make, act, aboard, [steer, act("haul", "helm", 2.0, hands=2)])
    assert_allclose(plan.makespan_s, 3.0)


def test_background_with_one_hand_goes_on_beside_one_handed_work(make, act, aboard):
    steer = act("steer", "helm", 1.0, hands=1, background=True)
    plan = planned(make, act, aboard, [steer, act("ease", "helm", 2.0, hands=1)])
    assert_allclose(plan.makespan_s, 2.0)


def test_a_held_action_lasts_until_what_it_waits_for(make, act, aboard):
    hold = act("hike", "jib", 0.5, hold=True, background=True, not_until=["due"])
    plan = planned(make, act, aboard, [hold, act("a")])
    assert_allclose(plan.end_s["hike"], 10.0)


def test_ends_meet(make, act, aboard):
    plan = planned(
        make, act, aboard, [act("hoist", "main", 4.0, ends_with=["pole"]), act("pole", "forward", 2.5)]
    )
    assert_allclose(plan.end_s["hoist"], plan.end_s["pole"])
    assert_allclose(plan.start_s["pole"], 1.5)


def test_starts_meet_and_cues_bind(make, act, aboard):
    actions = [act("a", not_before_cue="due"), act("b", "jib", **{"with": ["a"]})]
    plan = planned(make, act, aboard, actions)
    assert_allclose([plan.start_s["a"], plan.start_s["b"]], [10.0, 10.0])


def test_a_cue_comes_with_the_action_that_gives_it(make, act, aboard):
    cues = [
        {"id": "due", "words": "Due", "at_s": [9, 9, 9]},
        {"id": "made", "words": "Made", "on": "hoist.end"},
        {"id": "begun", "words": "Begun", "on": "hoist.start"},
    ]
    actions = [act("hoist", seconds=4.0), act("sheet", "jib", not_before_cue="made")]
    plan = planned(make, act, aboard, actions, cues=cues)
    assert_allclose([plan.cue_s["begun"], plan.cue_s["made"], plan.start_s["sheet"]], [0.0, 4.0, 4.0])


def test_walking_takes_time(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", at=RAIL_2), act("b", at=CENTRE, after=["a"])])
    assert_allclose(plan.start_s["b"] - plan.end_s["a"], 1.0)


def test_coming_from_the_first_place_takes_time(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", at=CENTRE)])
    assert_allclose(plan.start_s["a"], 1.0)


def test_furl_hoist_and_pole_in_a_loop_are_named(make, act, aboard):
    actions = [
        act("hoist", ends_with=["pole"]),
        act("pole", "forward", after=["furl"]),
        act("furl", "jib", after=["hoist"]),
    ]
    plan = planned(make, act, aboard, actions)
    assert not plan.feasible
    assert set(plan.loop) == {"hoist", "pole", "furl"}
    sentence = plan.conflicts[0]
    for part in ("hoist must end with pole", "pole waits for furl", "furl waits for hoist"):
        assert part in sentence
    assert plan.makespan_s is None
    assert plan.slack_s == {}


def test_a_deadline_that_cannot_be_kept_names_the_durations(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", seconds=12.0, before_cue="due")])
    assert plan.loop == ("a",)
    assert "a must be done before due" in plan.conflicts[0]
    assert "a takes 12 s" in plan.conflicts[0]


def test_two_things_at_the_same_moment_are_a_conflict_in_one_sentence(make, act, aboard):
    actions = [act("a", ends_at_cue="due"), act("b", ends_at_cue="due")]
    plan = planned(make, act, aboard, actions)
    assert not plan.feasible
    assert plan.conflicts == ("Tobias would have to do a and b at the same time: one person, one action",)
    assert plan.proven


def test_two_places_at_once_are_a_conflict(make, act, aboard):
    actions = [
        act("a", ends_at_cue="due", at=RAIL_2, background=True, hands=0),
        act("b", ends_at_cue="due", at=CENTRE),
    ]
    assert "two places at once" in planned(make, act, aboard, actions).conflicts[0]


def test_three_hands_are_a_conflict(make, act, aboard):
    actions = [act("a", ends_at_cue="due", hands=2, background=True), act("b", ends_at_cue="due", hands=1)]
    assert "takes 3 hands" in planned(make, act, aboard, actions).conflicts[0]


def test_search_goes_back_when_the_first_order_leads_nowhere(make, act, aboard):
    actions = [
        act("x", "main", 3.0),
        act("y", "main", 3.0, before_cue="early"),
        act("z", "main", 3.0),
    ]
    cues = [
        {"id": "due", "words": "Due", "at_s": [9, 9, 9]},
        {"id": "early", "words": "Early", "at_s": [3, 3, 3]},
    ]
    plan = planned(make, act, aboard, actions, cues=cues)
    assert plan.feasible
    assert plan.start_s["y"] == 0.0


def test_exclusion_of_two_actions(make, act, aboard):
    play = make(
        [act("a"), act("b"), act("c", background=True, at=RAIL_2), act("d", background=True, at=CENTRE)]
    )
    one = {name: play.action(name) for name in "abcd"}
    assert exclude_each_other(one["a"], one["b"], aboard.deck)
    assert not exclude_each_other(one["a"], one["c"], aboard.deck)
    assert exclude_each_other(one["c"], one["d"], aboard.deck)


def test_every_play_of_the_library_can_be_done_and_keeps_its_own_rules(library, hands, aboard):
    for text in library.values():
        plan = plan_play(text.play, aboard, usual_deal(text, hands))
        assert plan.feasible, (text.play.id, plan.conflicts)
        assert broken_rules(plan, aboard) == [], text.play.id


roles = st.sampled_from(["helm", "main", "jib", "forward"])


@st.composite
def random_plays(draw):
    count = draw(st.integers(2, 9))
    actions = []
    for index in range(count):
        earlier = [f"a{one}" for one in range(index)]
        one = {
            "id": f"a{index}",
            "do": "something",
            "role": draw(roles),
            "hands": draw(st.integers(0, 2)),
            "duration_s": [0.5, draw(st.sampled_from([0.5, 1.0, 2.0, 3.5])), 4.0],
            "after": draw(st.lists(st.sampled_from(earlier), max_size=2, unique=True)) if earlier else [],
        }
        if draw(st.booleans()):
            one["at"] = draw(st.sampled_from([RAIL_2, CENTRE, {"station": "hatch", "posture": "hatch"}]))
        if draw(st.integers(0, 3)) == 0:
            one["not_before_cue"] = "due"
        if draw(st.integers(0, 3)) == 0:
            one["background"] = True
        actions.append(one)
    return actions


@given(random_plays())
def test_a_feasible_plan_keeps_every_rule_when_replayed(make, aboard, actions):
    play = make(actions)
    plan = plan_play(play, aboard, {one.id: owner(one.role) for one in play.actions})
    if plan.feasible and plan.makespan_s is not None:
        assert broken_rules(plan, aboard) == []


@given(random_plays(), st.data())
def test_one_more_constraint_never_shortens_a_play(make, aboard, actions, data):
    alone = [
        {**one, "at": None, "role": ["helm", "main", "jib", "forward"][i % 4]}
        for i, one in enumerate(actions)
    ]
    later = data.draw(st.integers(1, len(actions) - 1))
    more = [dict(one) for one in alone]
    more[later]["after"] = [*more[later]["after"], f"a{data.draw(st.integers(0, later - 1))}"]
    lengths = [network_length(make(list(part))) for part in (alone, more)]
    assert lengths[1] >= lengths[0] - 1e-9


def network_length(play):
    from cringle.plays.constraints import order_of
    from cringle.plays.network import distances, earliest

    order = order_of(play)
    return float(earliest(distances(order.points.count, order.bounds))[order.points.finish])


def test_a_search_that_ends_at_its_limit_is_not_called_impossible(make, act, aboard, monkeypatch):
    monkeypatch.setattr("cringle.plays.plan.MOST_DEAD_ENDS", 0)
    plan = planned(make, act, aboard, [act("a", ends_at_cue="due"), act("b", ends_at_cue="due")])
    assert not plan.proven
    assert "not proven" in plan.conflicts[0]
    assert "impossible" not in plan.conflicts[0]


def test_sixty_actions_of_one_person_are_put_in_a_row(make, act, aboard):
    plan = planned(make, act, aboard, [act(f"a{n}", "main", 1.0) for n in range(60)])
    assert plan.feasible
    assert_allclose(plan.makespan_s, 60.0)
    assert broken_rules(plan, aboard) == []
