"""The book itself: check, back up, history out and in, files of pocket pages, codes for the network."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Query, UploadFile
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel, Field

from cringle.web.api.paper import request_or_shared
from cringle.web.asked import Name, TonightAsked
from cringle.web.guards import Coach, CoachChange, CrewChange, Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.web.site import Site
from cringle.web.uploads import plain_name
from cringle.workflows.books.access import load_access, put_out, renew_codes
from cringle.workflows.books.book import back_up, check_book, export_history, report_as_json
from cringle.workflows.books.history import Wanted, batch_as_json, show_history
from cringle.workflows.serving.errands import Errand
from cringle.workflows.serving.pocket import pocket_page

router = APIRouter(prefix="/api", tags=["book"])
Answer = dict[int | str, dict[str, Any]]
ZIP: Final[Answer] = {200: {"content": {"application/zip": {}}, "description": "The whole book."}}
LINES: Final[Answer] = {200: {"content": {"application/jsonl": {}}, "description": "One entry a line."}}
PAGE: Final[Answer] = {200: {"content": {"text/html": {}}, "description": "The pocket page."}}


@router.get("/book/check", responses=answers(401, 403))
def check(site: SiteHere, _visitor: Coach) -> dict[str, Any]:
    """Check the files against each other, and the history against itself."""
    return report_as_json(check_book(site.settings.folder))


@router.get("/book/backup.zip", responses={**answers(401, 403), **ZIP}, response_class=Response)
def backup(site: SiteHere, _visitor: Coach) -> Response:
    """Give the whole book as one file; codes and caches are left out."""
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "book.zip"
        back_up(site.settings.folder, target)
        return _file(target.read_bytes(), "application/zip", "book-backup.zip")


@router.get("/book/history.jsonl", responses={**answers(401, 403), **LINES}, response_class=Response)
def exported(site: SiteHere, _visitor: Coach) -> Response:
    """Give the whole history, for another copy of this book."""
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "history.jsonl"
        export_history(site.settings.folder, target)
        return _file(target.read_bytes(), "application/jsonl", "history.jsonl")


def _file(body: bytes, kind: str, name: str) -> Response:
    return Response(body, media_type=kind, headers={"content-disposition": f'attachment; filename="{name}"'})


class Taken(BaseModel):
    """What came of taking a file in."""

    taken: int
    already_there: int
    words: str


@router.post("/pocket", responses=answers(401, 403, 429))
def pocket_in(file: UploadFile, site: SiteHere, visitor: CrewChange) -> Taken:
    """Take in what a pocket page gave out; a second time changes nothing."""
    return _taken_in(site, file, Errand("pocket", site.settings.folder, visitor.name))


@router.post("/book/import", responses=answers(401, 403, 409, 429))
def import_file(
    file: UploadFile, site: SiteHere, visitor: CoachChange, prefer: Literal["ours", "theirs"] | None = None
) -> Taken:
    """Take in the history of another copy, or what a pocket page gave out."""
    return _taken_in(
        site, file, Errand("history", site.settings.folder, visitor.name, asked={"prefer": prefer})
    )


def _taken_in(site: Site, file: UploadFile, errand: Errand) -> Taken:
    """Have a file parsed beside the server, and wait for it."""
    path = Path(tempfile.mkdtemp(prefix="cringle-sent-")) / plain_name(file.filename or "sent")
    with path.open("wb") as stream:
        shutil.copyfileobj(file.file, stream)
    return Taken.model_validate(site.workers.run(replace(errand, path=path)))


@router.get("/history", responses=answers(401, 403))
def history(
    site: SiteHere,
    _visitor: Reader,
    kind: Name | None = None,
    limit: Annotated[int, Query(ge=1, le=500)] = 50,
) -> dict[str, Any]:
    """Give the newest entries, as batches, oldest first."""
    found = show_history(site.settings.folder, Wanted(kind=kind, limit=limit))
    return {"schema": 1, "batches": [batch_as_json(one) for one in found]}


@router.get("/tonight/pocket.html", responses={**answers(401, 403, 423), **PAGE}, response_class=Response)
def pocket_out(asked: Annotated[TonightAsked, Query()], site: SiteHere, _visitor: Reader) -> Response:
    """Give the pocket page: one file with every number, for a phone without network; not while racing."""
    require_ashore(site)
    request = request_or_shared(site, asked)
    text = site.served.kept(
        ("pocket", site.served.stamp(), request),
        lambda: pocket_page(site.settings.folder, request, answers=site.served.tonight),
    )
    headers = {"content-disposition": 'attachment; filename="pocket.html"'}
    return HTMLResponse(text, headers=headers)


class Roles(BaseModel):
    """Whose code."""

    roles: Annotated[list[Literal["crew", "coach"]], Field(min_length=1, max_length=2)]


@router.post("/access/codes", responses=answers(401, 403))
def codes(asked: Roles, site: SiteHere, visitor: CoachChange) -> dict[str, str]:
    """Make new codes and say them once; who has joined stays in."""
    made = renew_codes(site.settings.folder, list(dict.fromkeys(asked.roles)), who=visitor.name)
    site.sessions.use(load_access(site.settings.folder))
    return made


@router.post("/access/out", responses=answers(401, 403))
def out(asked: Roles, site: SiteHere, visitor: CoachChange) -> dict[str, str]:
    """End every session of a role and forget its code."""
    for role in dict.fromkeys(asked.roles):
        site.sessions.use(put_out(site.settings.folder, role, who=visitor.name))
    return dict.fromkeys(asked.roles, "out")
