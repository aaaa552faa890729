"""Trials: planned, sailed with a clock, judged; evidence, what to try, and moving the table."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from cringle.web.api.logs import Hash
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Knots, Name, Sea
from cringle.web.beside import begun
from cringle.web.guards import CoachChange, CrewChange, Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.web.views.trials import RowAsked, evidence_asked, row_asked
from cringle.workflows.outings.outing import Door
from cringle.workflows.serving.errands import Errand
from cringle.workflows.trials.accept import Place, decide, decisions, undo
from cringle.workflows.trials.as_json import decision_json, planned_json, trial_json
from cringle.workflows.trials.evidence import Row
from cringle.workflows.trials.trial import (
    TrialWish,
    change_trial,
    list_trials,
    plan_trial,
    start_trial,
    stop_trial,
)

router = APIRouter(prefix="/api/trials", tags=["trials"])
Mark = Annotated[float, Field(ge=-1000.0, le=1000.0, allow_inf_nan=False)]
Small = Annotated[float, Field(gt=0.0, le=100.0, allow_inf_nan=False)]
Clock = Annotated[str, Field(min_length=1, max_length=40)]
Carrier = Literal["us", "them", "nobody"]
Text = Annotated[str, Field(max_length=400)]


class RowHere(BaseModel):
    """Which row of the table."""

    model_config = ConfigDict(extra="forbid")

    sail_set: Name | None = None
    sea: Sea | None = None
    gear: Name | None = None


class RowInWind(RowHere):
    """Which row of the table, in which wind."""

    wind_kn: Annotated[float, Field(gt=0.0, le=60.0, allow_inf_nan=False)] | None = None


@router.get("", responses=answers(401, 403))
def trials(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give every trial, oldest first, and the newest decision of each cell."""
    decided = [
        {**decision_json(one.decision), "who": one.who, "why": one.why, "at_utc": one.at.isoformat()}
        for one in decisions(site.settings.folder)
    ]
    found = [trial_json(one) for one in list_trials(site.settings.folder)]
    return {"schema": 1, "trials": found, "decisions": decided}


@router.get("/evidence", responses=answers(401, 403, 423, 429))
def evidence(asked: Annotated[RowHere, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Say what the trials say of the table; answers with the work on it."""
    require_ashore(site)
    row = row_asked(site, RowAsked(**asked.model_dump()))
    return seen(begun(site, "evidence", evidence_asked(row), visitor.name))


@router.get("/suggest", responses=answers(401, 403, 423, 429))
def suggest(asked: Annotated[RowInWind, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Name three things to try in a wind; answers with the work on it."""
    require_ashore(site)
    row = row_asked(site, RowAsked(**asked.model_dump()))
    return seen(begun(site, "suggest", row, visitor.name))


class Wish(RowHere):
    """What shall be tried: one control, at most one step from the table."""

    role: Name
    value: Mark
    wind_kn: Knots
    alone: bool = False
    beside: Annotated[str, Field(max_length=80)] = ""
    matters_m_per_min: Small | None = None
    against: Mark | None = None
    only_show: bool = False


@router.post("/plan", responses=answers(401, 403, 409, 423))
def plan(asked: Wish, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Say how many minutes and swaps a trial needs, and keep it for tonight."""
    require_ashore(site)
    row = row_asked(site, RowAsked(asked.wind_kn, asked.sail_set, asked.sea, asked.gear))
    wish = TrialWish(
        {asked.role: asked.value},
        asked.wind_kn,
        row["gear"],
        row["sea"],
        asked.sail_set,
        "alone" if asked.alone else "pair",
        asked.beside,
        asked.matters_m_per_min,
        against=asked.against,
    )
    return planned_json(plan_trial(site.settings.folder, wish, who=visitor.name, keep=not asked.only_show))


class Started(BaseModel):
    """Which trial starts, who has the change, and when; now when left out."""

    trial: Name | None = None
    carrier: Carrier = "us"
    at: Clock | None = None


@router.post("/start", responses=answers(401, 403, 409))
def start(asked: Started, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Start a planned trial."""
    door = Door(site.settings.folder, visitor.name, at=asked.at)
    return {"schema": 1, **trial_json(start_trial(door, asked.trial, carrier=asked.carrier))}


class Changed(BaseModel):
    """Who has the change from now on; the other one when left out."""

    carrier: Carrier | None = None
    at: Clock | None = None


@router.post("/change", responses=answers(401, 403, 409))
def change(asked: Changed, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Note that the change went over to the other boat, or on or off."""
    door = Door(site.settings.folder, visitor.name, at=asked.at)
    return {"schema": 1, **trial_json(change_trial(door, asked.carrier))}


class Stopped(BaseModel):
    """When the trial stopped; now when left out."""

    at: Clock | None = None


@router.post("/stop", responses=answers(401, 403, 409))
def stop(asked: Stopped, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Stop the trial that goes on."""
    door = Door(site.settings.folder, visitor.name, at=asked.at)
    return {"schema": 1, **trial_json(stop_trial(door))}


class Judging(BaseModel):
    """Which trial, from which logs of the book, or in words."""

    trial: Name
    ours: Hash | None = None
    other: Hash | None = None
    wind_from_deg: Annotated[float, Field(ge=0.0, le=360.0, allow_inf_nan=False)] | None = None
    shift_s: Annotated[float, Field(ge=-86400.0, le=86400.0, allow_inf_nan=False)] = 0.0
    note: Text = ""


@router.post("/judge", status_code=202, responses=answers(401, 403, 423, 429))
def judge(asked: Judging, site: SiteHere, visitor: CoachChange) -> WorkSeen:
    """Work out what a trial showed and keep it as evidence; answers with the work on it."""
    require_ashore(site)
    errand = Errand("judge", site.settings.folder, visitor.name, asked=asked.model_dump())
    return seen(site.workers.begin(errand))


class Deciding(BaseModel):
    """What is decided about a cell that the evidence asks to move, or take back."""

    role: Name
    wind_kn: Knots
    decided: Literal["accept", "decline", "undo"]
    sail_set: Name | None = None
    sea: Sea = "chop"
    gear: Name = "settled"
    why: Text = ""


@router.put("/decision", responses=answers(401, 403, 409, 423))
def decision(asked: Deciding, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Move the table where the evidence asks for it, decline, or take it back."""
    require_ashore(site)
    folder = site.settings.folder
    place = Place(asked.role, asked.wind_kn, Row(asked.sail_set, asked.sea, asked.gear))
    if asked.decided == "undo":
        return decision_json(undo(folder, place, who=visitor.name))
    accept = asked.decided == "accept"
    return decision_json(decide(folder, place, who=visitor.name, why=asked.why, accept=accept))
