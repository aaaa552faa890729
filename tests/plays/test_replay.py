"""The replay must see what is wrong with a plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.plays.crew import usual_deal
from cringle.plays.plan import plan_play
from cringle.plays.replay import broken_rules


@pytest.fixture(scope="module")
def plan(library, hands, aboard):
    text = library["set_straight"]
    return plan_play(text.play, aboard, usual_deal(text, hands))


def shifted(plan, name, by, ends=True):
    start = {**plan.start_s, name: plan.start_s[name] + by}
    end = {**plan.end_s, name: plan.end_s[name] + (by if ends else 0.0)}
    return replace(plan, start_s=start, end_s=end)


def test_a_sound_plan_breaks_nothing(plan, aboard):
    assert broken_rules(plan, aboard) == []


@pytest.mark.parametrize(
    ("name", "by", "rule"),
    [
        ("sheet_kite", -1.0, "sheet_kite: after"),
        ("hoist", -1.0, "hoist: not before"),
        ("pole_out", 0.5, "pole_out"),
        ("tack_forward", 9.0, "tack_forward: before cue"),
        ("confirm", -0.5, "confirm: before the call"),
        ("jib_away", 1.0, "makespan"),
    ],
)
def test_a_shifted_action_is_seen(plan, aboard, name, by, rule):
    found = broken_rules(shifted(plan, name, by), aboard)
    assert any(rule in one or one == rule for one in found) or (
        name == "pole_out" and "hoist: ends with" in found
    )


def test_a_shortened_action_is_seen(plan, aboard):
    assert "hoist: too short" in broken_rules(shifted(plan, "hoist", 0.5, ends=False), aboard)


def test_one_person_at_two_things_is_seen(plan, aboard):
    everyone = replace(plan, deal=dict.fromkeys(plan.deal, "tobias"))
    assert any("at once" in one for one in broken_rules(everyone, aboard))


def test_a_cue_in_the_wrong_place_is_seen(plan, aboard):
    assert "cue made" in broken_rules(replace(plan, cue_s={**plan.cue_s, "made": 0.0}), aboard)
