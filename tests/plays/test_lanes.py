"""Lanes of a timeline."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from cringle.plays.crew import usual_deal
from cringle.plays.lanes import LETTER_S, lanes_of
from cringle.plays.plan import plan_play

PEOPLE = ["ines", "tobias", "marit", "keo"]


@pytest.fixture(scope="module")
def lanes(library, hands, aboard):
    return {
        name: lanes_of(plan_play(text.play, aboard, usual_deal(text, hands)), PEOPLE)
        for name, text in library.items()
    }


def test_every_action_has_one_bar(lanes, library):
    for name, found in lanes.items():
        assert sorted(one.action for one in found.bars) == sorted(
            one.id for one in library[name].play.actions
        )


def test_bars_and_words_never_cover_each_other(lanes):
    for name, found in lanes.items():
        for one, other in combinations(found.bars, 2):
            if one.row == other.row:
                first, second = sorted((one, other), key=lambda bar: bar.start_s)
                reach = max(first.end_s, first.start_s + len(first.words) * LETTER_S)
                assert reach <= second.start_s + 1e-9, (name, first.action, second.action)


def test_lanes_follow_each_other_in_the_order_of_people(lanes):
    for found in lanes.values():
        rows = [found.rows[one] for one in PEOPLE]
        assert rows[0][0] == 0
        assert all(b[0] == a[1] + 1 for a, b in pairwise(rows))


def test_slack_is_a_tail_and_held_actions_have_none(lanes, library):
    for name, found in lanes.items():
        for bar in found.bars:
            assert bar.tail_s >= bar.end_s
            if library[name].play.action(bar.action).hold:
                assert bar.tail_s == bar.end_s


def test_cue_words_do_not_cover_each_other(lanes):
    for found in lanes.values():
        for one, other in combinations(found.cues, 2):
            if one.row == other.row:
                first, second = sorted((one, other), key=lambda mark: mark.time_s)
                assert first.time_s + len(first.words) * LETTER_S <= second.time_s


def test_everything_fits_on_the_axis(lanes):
    for found in lanes.values():
        assert found.until_s >= max(one.end_s for one in found.bars)
        assert found.until_s >= max(one.time_s for one in found.cues)


def test_somebody_without_work_has_an_empty_lane(make, act, aboard):
    plan = plan_play(make([act("a")]), aboard, {"a": "tobias"})
    found = lanes_of(plan, PEOPLE)
    assert found.rows["keo"] == (3, 3)
