"""Run: techniques by wind, and lanes."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.asked import Sea
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.views.run import run_view

router = APIRouter(include_in_schema=False)


@router.get("/run")
def run_page(request: Request, site: SiteHere, visitor: Reader, sea: Sea | None = None) -> Response:
    """Show the techniques, and one question about lanes."""
    view = run_view(site, dict(request.query_params), sea)
    racing = site.served.evening().is_racing
    body = fragment("run.html", view=view, here="/run", role=visitor.role, racing=racing)
    return page_answer(request, visitor, body)
