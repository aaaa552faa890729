"""The page to join, our own files, and what a browser asks for by itself."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from cringle.web.assets import assets
from cringle.web.guards import Anybody, SiteHere
from cringle.web.problems import ProblemError
from cringle.web.render import fragment, page_answer

router = APIRouter(include_in_schema=False)
LONG = "public, max-age=31536000, immutable"


@router.get("/join")
def join_page(request: Request, visitor: Anybody, site: SiteHere) -> Response:
    """Ask for the code and a name."""
    files = site.served.files()
    people = [one.name for one in files.crew_file.people]
    body = fragment("join.html", here="/join", role=visitor.role, people=people, racing=False)
    return page_answer(request, visitor, body)


@router.get("/static/{name}")
async def static(name: str, request: Request) -> Response:
    """Give one of our own files by its known name."""
    found = assets().get(name)
    if found is None:
        raise ProblemError(404, "there is no such file", "go back to Tonight")
    headers = {"etag": found.tag, "cache-control": LONG, "vary": "accept-encoding"}
    if request.headers.get("if-none-match") == found.tag:
        return Response(status_code=304, headers=headers)
    if "gzip" in request.headers.get("accept-encoding", ""):
        return Response(found.packed, media_type=found.kind, headers={**headers, "content-encoding": "gzip"})
    return Response(found.body, media_type=found.kind, headers=headers)


@router.get("/favicon.ico")
async def favicon() -> Response:
    """Give the picture of the tab."""
    found = assets()["mark.svg"]
    return Response(found.body, media_type=found.kind, headers={"cache-control": LONG})
