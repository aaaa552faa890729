"""Crew: people, weights, places, heel, and the order of depowering."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.asked import Sea
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.views.crew import crew_view

router = APIRouter(include_in_schema=False)


@router.get("/crew")
def crew_page(request: Request, site: SiteHere, visitor: Reader, sea: Sea | None = None) -> Response:
    """Show the people on the deck plan, and what they are worth."""
    view = crew_view(site, sea)
    racing = site.served.evening().is_racing
    body = fragment("crew.html", view=view, here="/crew", role=visitor.role, racing=racing)
    return page_answer(request, visitor, body)
