"""Afloat: logs in, one debrief with the crew's guess before it, two boats compared; and Home."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Request
from fastapi.responses import Response
from pydantic import Field

from cringle.web.api.logs import Baseline, Hash, LogHere
from cringle.web.beside import kept_work
from cringle.web.guards import Reader, SiteHere
from cringle.web.limits import UPLOAD_PATHS
from cringle.web.render import fragment, page_answer
from cringle.web.views.afloat import afloat_view, home_view, log_view, pair_names

router = APIRouter(include_in_schema=False)
Outing = Annotated[str, Field(min_length=1, max_length=40)]


@router.get("/afloat")
def afloat_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the logs, and take new ones."""
    view = afloat_view(site)
    body = fragment("afloat.html", view=view, here="/afloat", role=visitor.role, most=UPLOAD_PATHS)
    return page_answer(request, visitor, body)


@router.get("/afloat/log/{log}")
def log_page(
    log: LogHere, request: Request, site: SiteHere, visitor: Reader, baseline: Baseline = "model"
) -> Response:
    """Show one log: the guess first, then the debrief."""
    view = log_view(site, log, baseline)
    body = fragment("afloat_log.html", view=view, here="/afloat", role=visitor.role)
    return page_answer(request, visitor, body)


@router.get("/afloat/pair")
def pair_page(first: Hash, second: Hash, request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show two boats side by side."""
    names = pair_names(site.settings.folder, first, second)
    work = kept_work(site, "pair", {"first": first, "second": second})
    body = fragment(
        "afloat_pair.html",
        names=names,
        first=first,
        second=second,
        found=None if work is None else work.result,
        racing=site.served.evening().is_racing,
        here="/afloat",
        role=visitor.role,
    )
    return page_answer(request, visitor, body)


@router.get("/home")
def home_page(
    request: Request,
    site: SiteHere,
    visitor: Reader,
    outing: Outing | None = None,
    baseline: Baseline = "model",
) -> Response:
    """Show the day at home: guess, then what the log says, then what to do with it."""
    view = home_view(site, outing, baseline)
    body = fragment("home.html", view=view, here="/home", role=visitor.role)
    return page_answer(request, visitor, body)
