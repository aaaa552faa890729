"""Numbers: the settings table, one cell at a time."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from cringle.web.api.numbers import Place, fixed_at
from cringle.web.asked import Name
from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.web.views.numbers import cell_view, numbers_view

router = APIRouter(include_in_schema=False)


@router.get("/numbers")
def numbers_page(
    request: Request,
    site: SiteHere,
    visitor: Reader,
    sail_set: Name | None = None,
    sea: Name = "chop",
    as_of: Name | None = None,
) -> Response:
    """Show the table."""
    then = fixed_at(site) or as_of
    names = tuple((one.id, one.name) for one in site.served.files().class_file.sail_sets)

    def made() -> bytes:
        view = numbers_view(site.settings.folder, names, sail_set=sail_set, sea=sea, as_of=then)
        racing = fixed_at(site) is not None
        return fragment(
            "numbers.html", view=view, here="/numbers", role=visitor.role, racing=racing, as_of=as_of
        )

    key = ("numbers", site.served.stamp(), sail_set, sea, then, visitor.role)
    return page_answer(request, visitor, site.served.kept(key, made))


@router.get("/part/cell")
def cell_part(
    place: Annotated[Place, Query()], request: Request, site: SiteHere, visitor: Reader
) -> Response:
    """Give one cell's editor: number, history, evidence."""
    view = cell_view(site.settings.folder, place.cell(), until=site.served.evening().fixed_at)
    racing = site.served.evening().is_racing
    return page_answer(request, visitor, fragment("cell.html", view=view, role=visitor.role, racing=racing))
