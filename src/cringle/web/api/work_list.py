"""The work list: what is worth doing to the boat, ranked, and what was done."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import APIRouter
from fastapi.responses import Response
from pydantic import BaseModel, Field

from cringle.web.api.paper import PDF
from cringle.web.asked import Name
from cringle.web.guards import CoachChange, Reader, SiteHere
from cringle.web.problems import answers
from cringle.workflows.survey import survey_json, survey_print, survey_set_state, survey_shown

router = APIRouter(prefix="/api/work-list", tags=["work list"])


class Judged(BaseModel):
    """What became of an item."""

    item: Name
    state: Literal["open", "done", "dropped"]
    why: Annotated[str, Field(max_length=400)] = ""


@router.get("", responses=answers(401, 403))
def work_list(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the items, ranked by what they are worth for an hour."""
    return survey_json(survey_shown(site.settings.folder))


@router.put("", responses=answers(401, 403, 409))
def judge(asked: Judged, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Say that an item is done, dropped or open again."""
    survey_set_state(site.settings.folder, asked.item, asked.state, who=visitor.name, why=asked.why)
    return survey_json(survey_shown(site.settings.folder))


@router.get("/print.pdf", responses={**answers(401, 403), **PDF}, response_class=Response)
def printed(site: SiteHere, _visitor: Reader) -> Response:
    """Give the work list to print."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "work-list.pdf"
        survey_print(site.settings.folder, out)
        return Response(out.read_bytes(), media_type="application/pdf")
