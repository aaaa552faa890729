"""Book: who you are, files in and out, check, access."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.guards import Reader, SiteHere
from cringle.web.render import fragment, page_answer
from cringle.workflows.books.book import check_book
from cringle.workflows.books.history import Wanted, show_history

router = APIRouter(include_in_schema=False)
MOST_SHOWN = 30


@router.get("/book")
def book_page(request: Request, site: SiteHere, visitor: Reader) -> Response:
    """Show the book itself."""
    folder = site.settings.folder
    is_coach = visitor.may("coach")
    body = fragment(
        "book.html",
        here="/book",
        role=visitor.role,
        name=visitor.name,
        report=check_book(folder) if is_coach else None,
        batches=list(reversed(show_history(folder, Wanted(limit=MOST_SHOWN)))),
        on_lan=bool(site.settings.lan_hosts),
    )
    return page_answer(request, visitor, body)
