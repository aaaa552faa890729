"""What the crew appends: notes, settings in force, ticks of the check before leaving the dock."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import BaseModel, Field

from cringle.web.asked import Name
from cringle.web.guards import CrewChange, SiteHere
from cringle.web.problems import answers
from cringle.workflows.outings.departure import departure_json, departure_tick
from cringle.workflows.outings.notes import Observed, note_observation, note_settings
from cringle.workflows.outings.outing import Door

router = APIRouter(prefix="/api", tags=["notes"])
When = Annotated[str, Field(max_length=40)] | None


class Note(BaseModel):
    """What somebody saw, felt or heard."""

    text: Annotated[str, Field(min_length=1, max_length=4000)]
    tag: Name | None = None
    at: When = None


class Noted(BaseModel):
    """The outing it was noted in."""

    outing: str


@router.post("/notes", responses=answers(401, 403))
def note(asked: Note, site: SiteHere, visitor: CrewChange) -> Noted:
    """Keep a note in the outing that goes on, under the name of who writes."""
    door = Door(site.settings.folder, who=visitor.name, at=asked.at)
    return Noted(outing=note_observation(door, Observed(asked.text, tag=asked.tag)).id)


class InForce(BaseModel):
    """Numbers that lines stand at from now on, by role."""

    values: Annotated[
        dict[str, Annotated[float, Field(allow_inf_nan=False)]], Field(min_length=1, max_length=40)
    ]
    at: When = None


@router.post("/settings-in-force", responses=answers(401, 403))
def settings_in_force(asked: InForce, site: SiteHere, visitor: CrewChange) -> Noted:
    """Note what was set afloat; the table stays as it is."""
    door = Door(site.settings.folder, who=visitor.name, at=asked.at)
    return Noted(outing=note_settings(door, asked.values).id)


class Ticks(BaseModel):
    """Lines of the check that are done."""

    ticked: Annotated[list[Name], Field(min_length=1, max_length=100)]
    outing: Name | None = None


@router.post("/departure", responses=answers(401, 403, 409))
def departure(asked: Ticks, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Tick lines of the check before leaving the dock."""
    done = departure_tick(site.settings.folder, asked.ticked, who=visitor.name, outing=asked.outing)
    return departure_json(done)
