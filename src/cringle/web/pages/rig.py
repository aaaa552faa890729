"""Rig: base, turns, tune sheet, backstay, measuring, loads."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.guards import Reader, SiteHere
from cringle.web.limits import UPLOAD_PATHS
from cringle.web.render import fragment, page_answer
from cringle.web.views.rig import rig_view

router = APIRouter(include_in_schema=False)


@router.get("/rig")
def rig_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the rig."""
    view, most = rig_view(site, dict(request.query_params)), UPLOAD_PATHS["/api/uploads/recording"]
    racing = site.served.evening().is_racing
    body = fragment("rig.html", view=view, here="/rig", role=visitor.role, racing=racing, most=most)
    return page_answer(request, visitor, body)
