"""Where an action goes after sailing: to a drill, a trial, the work list or the table, owned by a role."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.book.entries import NewEntry
from cringle.book.outing_notes import ROUTES, Action, one_of, require_text
from cringle.errors import InputError
from cringle.settings.names import known_name
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.goals import carried_actions, open_action
from cringle.workflows.outings.outing import Door
from cringle.workflows.survey import survey_add

OWNERS: Final = ("helm", "main", "jib", "forward", "crew", "coach", "owner")
"""Who can own an action: roles, never names."""

TRIAL: Final = "trial"
FOUND_IN: Final = {
    "drill": "cringle plan",
    "trial": "cringle tonight",
    "work list": "cringle survey show",
    "table": "cringle plan; the table moves only on evidence",
    "other": "cringle outing action",
}
"""Route to where the action is found again."""


@dataclass(frozen=True)
class Routed:
    """An action and where it is found again."""

    action: Action
    found_in: str


def route_action(door: Door, text: str, *, route: str, owner: str) -> Routed:
    """Open an action and put it where it belongs.

    Parameters
    ----------
    door : Door
        The book, who writes, about which outing.
    text : str
        What is to be done.
    route : str
        ``drill``, ``trial``, ``work list``, ``table`` or ``other``.
    owner : str
        The role that does it.

    Raises
    ------
    InputError
        The owner is no role, the text names a person of the crew, or there is no such route.
    """
    require_text("action", text)
    one_of("route of an action", route, ROUTES)
    known_name(owner, OWNERS, what="owner", next_step="actions belong to roles")
    _refuse_names(door.folder, text)
    action = open_action(door, f"{owner}: {text}", route)
    if route == "trial":
        _open_trial(door, action, text)
    elif route == "work list":
        _add_to_work_list(door, action, text)
    return Routed(action, FOUND_IN[route])


def _refuse_names(folder: Path, text: str) -> None:
    with open_records(folder) as records:
        names = [one.name for one in records.files.crew_file.people]
    named = next((one for one in names if re.search(rf"\b{re.escape(one)}\b", text, re.IGNORECASE)), None)
    if named is not None:
        raise InputError(
            f"the action names {named}", next_step=f"give it to a role: --owner {'|'.join(OWNERS)}"
        )


def _open_trial(door: Door, action: Action, text: str) -> None:
    with open_records(door.folder, who=door.who) as records:
        entry = NewEntry(TRIAL, action.id, {"text": text, "closed": False})
        records.book.write([entry], why=f"trial from action {action.id}")


def _add_to_work_list(door: Door, action: Action, text: str) -> None:
    item = {
        "id": f"after_{action.opened_in.replace('-', '_')}_{action.id}",
        "what": text,
        "why": f"found on {action.opened_in}",
        "category": "worthwhile",
        "allowed": "ask",
    }
    survey_add(door.folder, item, who=door.who, why=f"action {action.id}")


def actions_by_route(folder: Path) -> dict[str, tuple[Action, ...]]:
    """Return the open actions of each route."""
    found = carried_actions(folder)
    return {route: tuple(one for one in found if one.route == route) for route in ROUTES}
