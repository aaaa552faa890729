"""The rig: base, turns, tune sheet, backstay, measuring, loads, and what was done to the screws."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import BaseModel, ConfigDict, Field, model_validator

from cringle.web.api.paper import PDF
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Name, Sea
from cringle.web.guards import CoachChange, CrewChange, Reader, SiteHere, require_ashore
from cringle.web.problems import ProblemError, answers
from cringle.web.views.studies import study_work
from cringle.workflows.rig.as_json import measure_json
from cringle.workflows.rig.book import read_rig
from cringle.workflows.rig.measure import MeasureRequest, rig_measure
from cringle.workflows.rig.print import print_sheet
from cringle.workflows.rig.record import record_locks, record_turns
from cringle.workflows.rig.rig import rig_sheet

router = APIRouter(prefix="/api/rig", tags=["rig"])
RigWind = Annotated[float, Field(ge=0, le=40, allow_inf_nan=False)]
Turns = Annotated[float, Field(ge=-20, le=20, allow_inf_nan=False)]
Newtons = Annotated[float, Field(ge=0, le=60_000, allow_inf_nan=False)]
Millimetres = Annotated[float, Field(ge=-2000, le=2000, allow_inf_nan=False)]
Positive = Annotated[float, Field(gt=0, le=10_000, allow_inf_nan=False)]
Why = Annotated[str, Field(max_length=400)]


class TurnsAsked(BaseModel):
    """Turns from base by role, and the wind of the sag."""

    model_config = ConfigDict(extra="forbid")

    cap_shrouds: Turns = 0.0
    lower_shrouds: Turns = 0.0
    forestay: Turns = 0.0
    wind_kn: RigWind = 10.0


class Wanted(BaseModel):
    """What the rig is to have: on the dock, the sag in the wind; at least one of them."""

    model_config = ConfigDict(extra="forbid")

    cap_tension_n: Newtons | None = None
    lower_tension_n: Newtons | None = None
    forestay_tension_n: Newtons | None = None
    prebend_mm: Millimetres | None = None
    rake_mm: Millimetres | None = None
    sag_mm: Millimetres | None = None
    wind_kn: RigWind = 10.0


class Hauled(BaseModel):
    """The backstay in a wind; its usual top load, a share of the weakest part's break load when left out."""

    model_config = ConfigDict(extra="forbid")

    wind_kn: RigWind = 10.0
    top_load_n: Newtons | None = None


@router.get("", responses=answers(401, 403, 423, 429))
def rig(site: SiteHere, visitor: Reader, sea: Sea = "chop") -> WorkSeen:
    """Give base tune, tune sheet, loads with margins, and port against starboard."""
    require_ashore(site)
    return seen(study_work(site, "rig", {"sea": sea}, visitor.name))


@router.get("/backstay", responses=answers(401, 403, 423, 429))
def backstay(asked: Annotated[Hauled, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Say what the backstay's travel does, where each wind sits, and what its lengths should be."""
    require_ashore(site)
    return seen(study_work(site, "backstay", asked.model_dump(exclude_none=True), visitor.name))


@router.get("/turns", responses=answers(401, 403, 423, 429))
def turns(asked: Annotated[TurnsAsked, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Say what turns from base do: every tension, prebend, rake, and the sag in a wind."""
    require_ashore(site)
    return seen(study_work(site, "turns", asked.model_dump(), visitor.name))


@router.get("/solve", responses=answers(401, 403, 423, 429))
def solve(asked: Annotated[Wanted, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Find the turns that come nearest to what is wanted, in whole steps, with an interval."""
    require_ashore(site)
    return seen(study_work(site, "solve", asked.model_dump(exclude_none=True), visitor.name))


@router.get("/sheet.pdf", responses={**answers(401, 403, 423), **PDF}, response_class=Response)
def sheet(site: SiteHere, _visitor: Reader, sea: Sea = "chop") -> Response:
    """Give the tune sheet to print."""
    require_ashore(site)
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "tune-sheet.pdf"
        print_sheet(rig_sheet(site.settings.folder, sea=sea), pdf=out)
        return Response(out.read_bytes(), media_type="application/pdf")


class TurnsMade(BaseModel):
    """Turns from base that the screws stand at now, by role or by screw."""

    turns: Annotated[dict[Name, Turns], Field(min_length=1, max_length=20)]
    why: Why = ""


class TurnsKept(BaseModel):
    """Turns by screw as they are on record now, and as they were."""

    turns: dict[str, float]
    before: dict[str, float]


@router.put("/turns", responses=answers(401, 403, 409))
def made(asked: TurnsMade, site: SiteHere, visitor: CoachChange) -> TurnsKept:
    """Write into the book how the screws stand."""
    folder = site.settings.folder
    before = dict(read_rig(folder).turns)
    done = record_turns(folder, asked.turns, who=visitor.name, why=asked.why)
    return TurnsKept(turns=done, before={name: before.get(name, 0.0) for name in done})


class Locks(BaseModel):
    """Screws that are locked (pinned) or not: ids, or ``all``."""

    screws: Annotated[list[Name], Field(min_length=1, max_length=20)]
    state: Literal["locked", "unlocked"] = "locked"


@router.put("/locks", responses=answers(401, 403, 409))
def locks(asked: Locks, site: SiteHere, visitor: CrewChange) -> Locks:
    """Record that screws were looked at: locked, or not."""
    names = record_locks(site.settings.folder, asked.screws, asked.state, who=visitor.name)
    return Locks(screws=list(names), state=asked.state)


class Measured(BaseModel):
    """A wire's tension by one method: read elsewhere, a gauge, or counted swings."""

    model_config = ConfigDict(extra="forbid")

    wire: Name
    tension_n: Newtons | None = None
    span_mm: Positive | None = None
    deflection_mm: Positive | None = None
    force_n: Positive | None = None
    cycles: Positive | None = None
    seconds: Positive | None = None
    upper: bool = False
    keep: bool = False

    @model_validator(mode="after")
    def _whole(self) -> Measured:
        for names in (("span_mm", "deflection_mm", "force_n"), ("cycles", "seconds")):
            given = [getattr(self, one) is not None for one in names]
            if any(given) and not all(given):
                raise ValueError(f"give all of: {', '.join(names)}")
        return self

    def request(self) -> MeasureRequest:
        """Return it as the workflow takes it."""
        gauge = swing = None
        if self.span_mm is not None and self.deflection_mm is not None and self.force_n is not None:
            gauge = (self.span_mm, self.deflection_mm, self.force_n)
        if self.cycles is not None and self.seconds is not None:
            swing = (self.cycles, self.seconds)
        return MeasureRequest(self.wire, gauge, swing, tension_n=self.tension_n, upper=self.upper)


@router.post("/measure", responses=answers(401, 403))
def measure(asked: Measured, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Return a wire's tension beside what the model expects; the coach may keep it."""
    if asked.keep and not visitor.may("coach"):
        raise ProblemError(
            403, "only the coach keeps a measurement", "measure without keeping, or ask the coach"
        )
    request, keep = asked.request(), asked.keep
    return measure_json(rig_measure(site.settings.folder, request, keep=keep, who=visitor.name))
