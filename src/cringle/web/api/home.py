"""Home: the crew's guess, what the log says of the day, goals, settings in force, actions."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter
from pydantic import BaseModel, Field

from cringle.web.api.logs import Baseline
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Name
from cringle.web.beside import begun
from cringle.web.guards import CoachChange, CrewChange, Reader, SiteHere, require_ashore
from cringle.web.problems import ProblemError, answers
from cringle.web.views.afloat import home_asked
from cringle.workflows.outings.goals import close_action, judge_goal, set_goal
from cringle.workflows.outings.outing import Door, show_outing
from cringle.workflows.round.home import confirm_settings, guess, guess_seen
from cringle.workflows.round.route import route_action

router = APIRouter(prefix="/api/home", tags=["home"])
Text = Annotated[str, Field(min_length=1, max_length=400, pattern=r"\S")]


@router.get("", responses=answers(401, 403, 409, 423, 429))
def home(
    site: SiteHere,
    visitor: Reader,
    outing: Name | None = None,
    baseline: Baseline = "model",
    no_guess: bool = False,
) -> WorkSeen:
    """Say what the log says of a day; the crew guesses first, or says that it will not."""
    require_ashore(site)
    day = show_outing(site.settings.folder, outing)
    said = guess_seen(site.settings.folder, day.id)
    if said.guess is None and not said.revealed and not no_guess:
        raise ProblemError(409, "nobody has guessed yet what cost the most", "guess, or ask with no_guess")
    return seen(begun(site, "home", home_asked(day.id, baseline), visitor.name))


class Guessed(BaseModel):
    """What the crew thinks cost the most, before they see."""

    cause: Name
    words: Annotated[str, Field(max_length=400)] = ""
    outing: Name | None = None


@router.post("/guess", responses=answers(401, 403, 409))
def guessed(asked: Guessed, site: SiteHere, visitor: CrewChange) -> Guessed:
    """Keep the crew's own guess."""
    kept = guess(site.settings.folder, asked.cause, words=asked.words, who=visitor.name, outing=asked.outing)
    return Guessed(cause=kept.cause, words=kept.words, outing=asked.outing)


class Goal(BaseModel):
    """A goal for an outing."""

    text: Text
    outing: Name | None = None


class Judged(BaseModel):
    """Whether a goal was met."""

    number: Annotated[int, Field(ge=1, le=3)]
    state: Literal["open", "met", "not met"]
    outing: Name | None = None


def _goals(found: Any) -> dict[str, Any]:
    return {
        "schema": 1,
        "outing": found.id,
        "goals": [{"id": one.id, "text": one.text, "state": one.state} for one in found.goals],
    }


@router.post("/goals", responses=answers(401, 403, 409))
def goal(asked: Goal, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Set one more goal, three at most."""
    return _goals(set_goal(Door(site.settings.folder, visitor.name, asked.outing), asked.text))


@router.put("/goals", responses=answers(401, 403, 409))
def goal_state(asked: Judged, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Say whether a goal was met."""
    door = Door(site.settings.folder, visitor.name, asked.outing)
    return _goals(judge_goal(door, asked.number, asked.state))


class Opened(BaseModel):
    """Something to do, owned by a role, and where it goes."""

    text: Text
    route: Literal["drill", "trial", "work list", "table", "other"]
    owner: Name
    outing: Name | None = None


class ActionSeen(BaseModel):
    """An action."""

    id: str
    text: str
    route: str
    state: str
    found_in: str | None = None


@router.post("/actions", responses=answers(401, 403, 409))
def action(asked: Opened, site: SiteHere, visitor: CoachChange) -> ActionSeen:
    """Open an action and put it where it belongs: drill, trial, work list, table or elsewhere."""
    door = Door(site.settings.folder, visitor.name, asked.outing)
    found = route_action(door, asked.text, route=asked.route, owner=asked.owner)
    one = found.action
    return ActionSeen(id=one.id, text=one.text, route=one.route, state=one.state, found_in=found.found_in)


class Closed(BaseModel):
    """An action that is done."""

    id: Name
    outing: Name | None = None


@router.post("/actions/close", responses=answers(401, 403, 409))
def action_done(asked: Closed, site: SiteHere, visitor: CrewChange) -> ActionSeen:
    """Close an action."""
    one = close_action(Door(site.settings.folder, visitor.name, asked.outing), asked.id)
    return ActionSeen(id=one.id, text=one.text, route=one.route, state=one.state)


class Confirmed(BaseModel):
    """Of which outing the settings are confirmed."""

    outing: Name | None = None


@router.post("/settings", responses=answers(401, 403, 409))
def confirmed(asked: Confirmed, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Confirm the settings noted as in force; nothing is confirmed that nobody noted."""
    found = confirm_settings(site.settings.folder, who=visitor.name, outing=asked.outing)
    return {"schema": 1, "settings": {role: value for role, (value, _) in found.items()}}
