"""Logs: which there are, what they say, corrections of what was found, two boats compared."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter
from fastapi import Path as InPath
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel, ConfigDict, Field

from cringle.output.report import page_html
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.beside import begun, kept_work
from cringle.web.guards import CoachChange, Reader, SiteHere, require_ashore
from cringle.web.problems import ProblemError, answers
from cringle.web.site import Site
from cringle.web.views.afloat import debrief_asked, log_named, pair_names
from cringle.workflows.afloat.corrections import undo_in_log
from cringle.workflows.afloat.corrections_kept import kept_corrections
from cringle.workflows.afloat.logs import list_logs
from cringle.workflows.serving.errands import Errand

router = APIRouter(prefix="/api/logs", tags=["logs"])
Hash = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
LogHere = Annotated[str, InPath(pattern="^[0-9a-f]{64}$")]
Baseline = Literal["model", "fitted", "own"]
Words = Annotated[str, Field(max_length=40)]
PAGE: Final[dict[int | str, dict[str, Any]]] = {
    200: {"content": {"text/html": {}}, "description": "The report as one page."}
}


@router.get("", responses=answers(401, 403))
def logs(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the logs kept in the book, earliest first."""
    return {"schema": 1, "logs": [one.to_json() for one in list_logs(site.settings.folder)]}


@router.get("/pair", responses=answers(401, 403, 423, 429))
def pair(first: Hash, second: Hash, site: SiteHere, visitor: Reader) -> WorkSeen:
    """Compare two boats on the same legs; answers with the work on it, asked for again until it is done."""
    require_ashore(site)
    pair_names(site.settings.folder, first, second)
    return seen(begun(site, "pair", {"first": first, "second": second}, visitor.name))


@router.get("/{log}/debrief", responses=answers(401, 403, 423, 429))
def debrief(log: LogHere, site: SiteHere, visitor: Reader, baseline: Baseline = "model") -> WorkSeen:
    """Debrief a log; answers with the work on it, asked for again until it is done."""
    require_ashore(site)
    asked = debrief_asked(log_named(site, log).log, baseline)
    return seen(begun(site, "debrief", asked, visitor.name))


@router.get("/{log}/report.html", responses={**answers(401, 403, 404, 423), **PAGE}, response_class=Response)
def report(log: LogHere, site: SiteHere, _visitor: Reader, baseline: Baseline = "model") -> Response:
    """Give the report as one page that needs nothing else, once the debrief is worked out."""
    require_ashore(site)
    row = log_named(site, log)
    work = kept_work(site, "debrief", debrief_asked(row.log, baseline))
    if work is None or work.result is None:
        raise ProblemError(404, "the debrief is not worked out yet", "open it on Afloat first")
    text = page_html(f"Debrief of {row.log.name}", work.result["head"] + work.result["body"])
    headers = {"content-disposition": 'attachment; filename="debrief.html"'}
    return HTMLResponse(text, headers=headers)


class Corrected(BaseModel):
    """One correction: what, which of them, where to; times by the boat's clock, or ISO 8601."""

    model_config = ConfigDict(extra="forbid")

    action: Literal["add", "remove", "move", "rename"]
    what: Literal["tack", "gybe", "start", "finish", "rounding", "leg", "recall", "manoeuvre", "leg end"]
    at: Words | None = None
    to: Words | None = None
    number: Annotated[int, Field(ge=1, le=10_000)] | None = None
    kind: Words | None = None


class Corrections(BaseModel):
    """What is corrected, and why."""

    corrections: Annotated[list[Corrected], Field(min_length=1, max_length=20)]
    why: Annotated[str, Field(max_length=400)] = ""


@router.get("/{log}/corrections", responses=answers(401, 403))
def corrections(log: LogHere, site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the corrections of a log, undone ones too."""
    log_named(site, log)
    return _listed(site, log)


def _listed(site: Site, log: str) -> dict[str, Any]:
    kept = kept_corrections(site.settings.folder, log)
    return {"schema": 1, "corrections": [one.to_json() for one in kept]}


@router.post("/{log}/corrections", status_code=202, responses=answers(401, 403, 423, 429))
def correct(log: LogHere, asked: Corrections, site: SiteHere, visitor: CoachChange) -> WorkSeen:
    """Correct what was found in a log, all of it or nothing; answers with the work on it."""
    require_ashore(site)
    log_named(site, log)
    told = {"log": log, "why": asked.why, "corrections": [one.model_dump() for one in asked.corrections]}
    return seen(site.workers.begin(Errand("correct", site.settings.folder, visitor.name, asked=told)))


class Undone(BaseModel):
    """Numbers of corrections that count no longer, and why."""

    numbers: Annotated[list[Annotated[int, Field(ge=1, le=100_000)]], Field(min_length=1, max_length=20)]
    why: Annotated[str, Field(max_length=400)] = ""


@router.post("/{log}/corrections/undo", responses=answers(401, 403, 409))
def undo(log: LogHere, asked: Undone, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Take corrections back; what was found counts again."""
    log_named(site, log)
    undo_in_log(site.settings.folder, Path(log), asked.numbers, who=visitor.name, why=asked.why or "undo")
    return _listed(site, log)
