"""Trials: one control at a time, with a clock, and the table moved only on evidence."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from cringle.web.api.trials import RowInWind
from cringle.web.asked import Name
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.views.trials import RowAsked, trials_view

router = APIRouter(include_in_schema=False)


class TrialsAsked(RowInWind):
    """The row looked at, and the work of a result just judged."""

    judged: Name | None = None


@router.get("/trials")
def trials_page(
    asked: Annotated[TrialsAsked, Query()], request: Request, site: SiteHere, visitor: Reader
) -> Response:
    """Show what goes on, what to try, and what was found."""
    row = RowAsked(asked.wind_kn, asked.sail_set, asked.sea, asked.gear)
    view = trials_view(site, row, asked.judged)
    body = fragment("trials.html", view=view, here="/trials", role=visitor.role)
    return page_answer(request, visitor, body)
