"""Up to three goals for an outing, and the actions that stay open until they are closed."""

from __future__ import annotations

from pathlib import Path

from cringle.book.outing_notes import MOST_GOALS, Action, Goal, action_entry, goal_entry
from cringle.book.outings import Outing, newest_actions, open_actions
from cringle.errors import InputError
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.outing import Door, chosen_outing, outing_named

FULL = "close one, or leave it: three are as many as a crew can keep in mind"


def set_goal(door: Door, text: str) -> Outing:
    """Set one more goal for an outing.

    Raises
    ------
    InputError
        It has three goals already.
    """
    with open_records(door.folder, who=door.who) as records:
        outing = chosen_outing(records, door.outing)
        if len(outing.goals) >= MOST_GOALS:
            raise InputError(f"outing {outing.id} has {MOST_GOALS} goals already", next_step=FULL)
        used = {goal.id for goal in outing.goals}
        names = (f"{outing.id}/{number}" for number in range(1, MOST_GOALS + 1))
        name = next(one for one in names if one not in used)
        records.book.write([goal_entry(name, text, "open", None)], why="goal set")
        return outing_named(records, outing.id)


def judge_goal(door: Door, number: int, state: str) -> Outing:
    """Say whether a goal was met: ``met``, ``not met``, or ``open`` again.

    Raises
    ------
    InputError
        The outing has no goal of that number.
    """
    with open_records(door.folder, who=door.who) as records:
        outing = chosen_outing(records, door.outing)
        goal = _goal(outing, number)
        records.book.write([goal_entry(goal.id, goal.text, state, goal.entry_id)], why=f"goal {state}")
        return outing_named(records, outing.id)


def _goal(outing: Outing, number: int) -> Goal:
    found = next((goal for goal in outing.goals if goal.id == f"{outing.id}/{number}"), None)
    if found is None:
        known = ", ".join(goal.id.rsplit("/", 1)[1] for goal in outing.goals) or "none yet"
        raise InputError(
            f"outing {outing.id} has no goal {number}; it has: {known}", next_step="set it first"
        )
    return found


def open_action(door: Door, text: str, route: str = "other") -> Action:
    """Open an action; it is carried to later outings until it is closed."""
    with open_records(door.folder, who=door.who) as records:
        outing = chosen_outing(records, door.outing)
        known = {entry.key.subject for entry in records.book.history("action")}
        name = f"a{len(known) + 1}"
        action = Action(name, text, route, "open", outing.id, None, 0)
        records.book.write([action_entry(action, None)], why="action opened")
        return _named(newest_actions(records.book.history("action")), name)


def close_action(door: Door, name: str) -> Action:
    """Close an action on an outing.

    Raises
    ------
    InputError
        There is no such open action.
    """
    with open_records(door.folder, who=door.who) as records:
        outing = chosen_outing(records, door.outing)
        action = _named(open_actions(records.book.history("action")), name)
        closed = Action(name, action.text, action.route, "closed", action.opened_in, outing.id, 0)
        records.book.write([action_entry(closed, action.entry_id)], why="action closed")
        return _named(newest_actions(records.book.history("action")), name)


def carried_actions(folder: Path) -> list[Action]:
    """Return the actions that are still open, oldest first."""
    with open_records(folder) as records:
        return open_actions(records.book.history("action"))


def _named(actions: list[Action], name: str) -> Action:
    found = next((one for one in actions if one.id == name), None)
    if found is None:
        known = ", ".join(one.id for one in actions) or "none"
        raise InputError(f"no open action {name!r}; open: {known}", next_step="use one of these ids")
    return found
