"""Work list: what to do to the boat, in which order."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.workflows.survey import survey_shown

router = APIRouter(include_in_schema=False)


@router.get("/work-list")
def work_list_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the work list."""
    shown = survey_shown(site.settings.folder)
    body = fragment("work_list.html", here="/work-list", role=visitor.role, shown=shown)
    return page_answer(request, visitor, body)
