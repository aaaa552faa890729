"""Season and shelf: the plan, what the logs say together, several boats side by side."""

from __future__ import annotations

from dataclasses import asdict
from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import BaseModel, Field

from cringle.output.sheet import sheet_pdf
from cringle.settings.records import TonightRequest
from cringle.web.api.paper import PDF
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Knots, Name, Sea
from cringle.web.beside import begun
from cringle.web.guards import Coach, CoachChange, Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.web.views.season import shelf_of
from cringle.workflows.round.plan import plan_json, plan_sheet, season_plan
from cringle.workflows.round.shelf import compared_json, shared_files, shelf_compare, shelf_list, shelf_share

router = APIRouter(prefix="/api", tags=["season"])
Books = Annotated[list[Annotated[str, Field(min_length=1, max_length=80)]], Query(max_length=50)]


@router.get("/season/plan", responses=answers(401, 403, 423))
def plan(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Say what the season needs: drills by cost, goals, hours of sails, actions, minutes of pairing."""
    require_ashore(site)
    return plan_json(season_plan(site.settings.folder))


@router.get("/season/plan.pdf", responses={**answers(401, 403, 423), **PDF}, response_class=Response)
def plan_pdf(site: SiteHere, _visitor: Reader) -> Response:
    """Give the season's plan to print."""
    require_ashore(site)
    body = sheet_pdf(plan_sheet(season_plan(site.settings.folder)), datetime.now(UTC))
    return Response(body, media_type="application/pdf")


@router.get("/season", responses=answers(401, 403, 423, 429))
def season(site: SiteHere, visitor: Reader) -> WorkSeen:
    """Say what the logs of the book say together; answers with the work on it."""
    require_ashore(site)
    return seen(begun(site, "season", {}, visitor.name))


@router.get("/shelf", responses=answers(401, 403))
def shelf(site: SiteHere, _visitor: Coach) -> dict[str, Any]:
    """Give the books that lie side by side with this one, and what they share."""
    place = shelf_of(site.settings.folder)
    books = [asdict(one) for one in shelf_list(place)]
    return {"schema": 1, "books": books, "shared": list(shared_files(place))}


@router.get("/shelf/compare", responses=answers(401, 403, 423))
def compare(
    site: SiteHere,
    _visitor: Coach,
    wind_kn: Knots | None = None,
    sea: Sea = "chop",
    gear: Name = "settled",
    books: Books = [],  # noqa: B006 - the framework copies it
) -> dict[str, Any]:
    """Compare the start numbers of several boats, in marks and in mm of line."""
    require_ashore(site)
    request = TonightRequest(wind_kn=wind_kn or site.served.evening().request.mean_kn, sea=sea)
    place = shelf_of(site.settings.folder)
    return compared_json(shelf_compare(place, request, gear=gear, books=books))


class Sharing(BaseModel):
    """What is shared, into which books, and whether it is taken over or only shown."""

    what: Name
    books: Annotated[list[Annotated[str, Field(min_length=1, max_length=80)]], Field(max_length=50)] = []
    take: bool = False


@router.post("/shelf/share", responses=answers(401, 403, 409))
def share(asked: Sharing, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Show what a shared class file or play would change in each book; take it over when asked to."""
    place = shelf_of(site.settings.folder)
    found = shelf_share(place, asked.what, who=visitor.name, take=asked.take, books=asked.books)
    return {"schema": 1, "shares": [asdict(one) for one in found]}
