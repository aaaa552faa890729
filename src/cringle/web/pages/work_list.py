"""Work list: what to do to the boat, in which order."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.beside import kept_result
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.workflows.survey import survey_shown

VISIT_ASKED = {"visit": None, "wind_kn": None, "sea": None}
router = APIRouter(include_in_schema=False)


@router.get("/work-list")
def work_list_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the work list."""
    shown = survey_shown(site.settings.folder)
    racing = site.served.evening().is_racing
    visit = None if racing else kept_result(site, "visit", VISIT_ASKED)
    body = fragment(
        "work_list.html", here="/work-list", role=visitor.role, shown=shown, visit=visit, racing=racing
    )
    return page_answer(request, visitor, body)
