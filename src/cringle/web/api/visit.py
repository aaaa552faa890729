"""A coach's visit: what was found, done and comes next, and the report for the owner."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import BaseModel, ConfigDict, Field

from cringle.web.api.paper import PDF
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Knots, Name, Sea
from cringle.web.beside import begun
from cringle.web.guards import CoachChange, Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.workflows.round.visit import Said, note_visit
from cringle.workflows.serving.errands import Errand

router = APIRouter(prefix="/api/visit", tags=["visit"])
Sentence = Annotated[str, Field(min_length=1, max_length=240, pattern=r"\S")]
Sentences = Annotated[list[Sentence], Field(max_length=30)]


class Noted(BaseModel):
    """What the coach says, each a sentence."""

    found: Sentences = []
    done: Sentences = []
    next: Sentences = []


class VisitHere(BaseModel):
    """Which visit (the newest when left out), and the wind to price things in."""

    model_config = ConfigDict(extra="forbid")

    visit: Name | None = None
    wind_kn: Knots | None = None
    sea: Sea | None = None


@router.get("", responses=answers(401, 403, 423, 429))
def visit(asked: Annotated[VisitHere, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Put the report for the owner together from the book; answers with the work on it."""
    require_ashore(site)
    return seen(begun(site, "visit", asked.model_dump(), visitor.name))


@router.post("", responses=answers(401, 403, 409))
def noted(asked: Noted, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Keep what the coach found and did today, and what comes next."""
    said = Said(tuple(asked.found), tuple(asked.done), tuple(asked.next))
    return {"schema": 1, "visit": note_visit(site.settings.folder, said, who=visitor.name)}


@router.get("/report.pdf", responses={**answers(401, 403, 423, 429), **PDF}, response_class=Response)
def printed(asked: Annotated[VisitHere, Query()], site: SiteHere, visitor: Reader) -> Response:
    """Give the report to print: two pages for the owner, and the annex."""
    require_ashore(site)
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "print" / "visit.pdf"
        out.parent.mkdir()
        told = {**asked.model_dump(), "out": str(out)}
        site.workers.run(Errand("visit", site.settings.folder, visitor.name, asked=told))
        return Response(out.read_bytes(), media_type="application/pdf")
