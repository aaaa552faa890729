from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.workflows.outings.goals import carried_actions, close_action, judge_goal, open_action, set_goal
from cringle.workflows.outings.outing import Door, end_outing, show_outing, start_outing


@pytest.fixture
def door(book_folder: Path) -> Door:
    start_outing(Door(book_folder, at="2026-05-01T18:00"))
    return Door(book_folder, "Ines")


def test_three_goals_and_not_a_fourth(door: Door) -> None:
    for text in ("heel 12 degrees", "build before height", "two clean tacks"):
        outing = set_goal(door, text)
    assert [goal.id for goal in outing.goals] == ["2026-05-01/1", "2026-05-01/2", "2026-05-01/3"]
    with pytest.raises(InputError, match="has 3 goals already"):
        set_goal(door, "one more")


def test_a_goal_is_met_or_not_and_may_be_open_again(door: Door) -> None:
    set_goal(door, "heel 12 degrees")
    set_goal(door, "two clean tacks")
    judge_goal(door, 1, "met")
    outing = judge_goal(door, 2, "not met")
    assert [goal.state for goal in outing.goals] == ["met", "not met"]
    assert judge_goal(door, 1, "open").goals[0].state == "open"
    with pytest.raises(InputError, match="has no goal 3; it has: 1, 2"):
        judge_goal(door, 3, "met")
    with pytest.raises(InputError, match="accepted: open, met, not met"):
        judge_goal(door, 1, "nearly")


def test_an_action_goes_on_over_outings_until_it_is_closed(door: Door) -> None:
    first = open_action(door, "splice the backstay tail", "work list")
    second = open_action(door, "gybe drill", "drill")
    assert (first.id, second.id) == ("a1", "a2")
    end_outing(Door(door.folder, at="20:00"))
    start_outing(Door(door.folder, at="2026-05-08T18:00"))
    assert [one.id for one in carried_actions(door.folder)] == ["a1", "a2"]
    assert [one.id for one in show_outing(door.folder).actions] == ["a1", "a2"]
    closed = close_action(door, "a1")
    assert (closed.state, closed.opened_in, closed.closed_in) == ("closed", "2026-05-01", "2026-05-08")
    assert [one.id for one in carried_actions(door.folder)] == ["a2"]
    assert [one.id for one in show_outing(door.folder, "2026-05-08").actions] == ["a1", "a2"]
    with pytest.raises(InputError, match="no open action 'a1'; open: a2"):
        close_action(door, "a1")


def test_an_action_needs_a_known_route(door: Door) -> None:
    with pytest.raises(InputError, match="accepted: drill, trial, work list, table, other"):
        open_action(door, "x", "beach")
    assert carried_actions(door.folder) == []
