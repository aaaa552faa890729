"""Plays: the list with duties, and one play with its timeline and its rehearsal."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.api.plays import PlayName, play_named
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.views.plays import play_view, plays_view

router = APIRouter(include_in_schema=False)


@router.get("/plays")
def plays_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the plays, and who does what on each leg."""
    body = fragment("plays.html", view=plays_view(site), here="/plays", role=visitor.role)
    return page_answer(request, visitor, body)


@router.get("/plays/{play}")
def play_page(play: PlayName, request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show one play: timeline, order, risk, rehearsal."""
    view = play_view(site, play_named(site, play))
    body = fragment("play.html", view=view, here="/plays", role=visitor.role)
    return page_answer(request, visitor, body)
