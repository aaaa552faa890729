"""Season and Shelf."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.asked import Knots, Name
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.views.season import season_page, shelf_page

router = APIRouter(include_in_schema=False)


@router.get("/season")
def season_view(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the plan, and what the logs say together."""
    view = season_page(site)
    return page_answer(
        request, visitor, fragment("season.html", view=view, here="/season", role=visitor.role)
    )


@router.get("/shelf")
def shelf_view(
    request: Request,
    site: SiteHere,
    visitor: Reader,
    wind_kn: Knots | None = None,
    gear: Name = "settled",
) -> Response:
    """Show the boats side by side; the shelf is the coach's."""
    view = shelf_page(site, wind_kn, gear) if visitor.may("coach") else None
    return page_answer(request, visitor, fragment("shelf.html", view=view, here="/shelf", role=visitor.role))
