"""Tonight: at the dock, and between races."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.sessions import Visitor
from cringle.web.site import Site
from cringle.web.views.tonight import tonight_view

router = APIRouter(include_in_schema=False)


@router.get("/")
def tonight_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show what to set half an hour before the start."""
    return _shown(request, site, visitor, "tonight.html")


@router.get("/part/tonight")
def tonight_part(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Give the numbers alone, for the slider."""
    return _shown(request, site, visitor, "tonight_numbers.html")


@router.get("/between")
def between_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show only the differences, for one thumb."""
    return _shown(request, site, visitor, "between.html")


@router.get("/part/between")
def between_part(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Give the differences alone."""
    return _shown(request, site, visitor, "between_moves.html")


def _shown(request: Request, site: Site, visitor: Visitor, template: str) -> Response:
    query = tuple(request.query_params.multi_items())[:40]

    def made() -> bytes:
        view = tonight_view(site.served, query)
        more: dict[str, Any] = {
            "here": request.url.path,
            "role": visitor.role,
            "racing": view.evening.is_racing,
        }
        return fragment(template, view=view, **more)

    key = ("page", template, site.served.stamp(), query, visitor.role)
    return page_answer(request, visitor, site.served.kept(key, made))
