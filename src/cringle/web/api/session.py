"""Joining, leaving, and the token that a change carries."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, Field

from cringle.web.guards import Anybody, CrewChange, SiteHere
from cringle.web.problems import ProblemError, answers
from cringle.web.render import hand_out
from cringle.web.sessions import Visitor
from cringle.web.site import Site
from cringle.workflows.books.access import audit, role_of_code

router = APIRouter(prefix="/api", tags=["session"])


class Joining(BaseModel):
    """A code and the name to write under."""

    code: Annotated[str, Field(min_length=1, max_length=64)]
    name: Annotated[
        str, Field(min_length=1, max_length=40, pattern=r"^[^\x00-\x1f\x7f]*\S[^\x00-\x1f\x7f]*$")
    ]


class SessionSeen(BaseModel):
    """Who you are here, and what a change must carry."""

    role: str | None
    name: str
    token: str | None


@router.get("/session", responses=answers())
async def session(request: Request, response: Response, visitor: Anybody, site: SiteHere) -> SessionSeen:
    """Say who asks; on this machine that is the coach."""
    hand_out(request, visitor, response)
    return _seen(site, visitor)


@router.post("/join", responses=answers(401, 429))
def join(request: Request, response: Response, asked: Joining, site: SiteHere) -> SessionSeen:
    """Join with a code."""
    address = request.client.host if request.client else "nowhere"
    wait_s = site.join_limit.wait_s(address)
    if wait_s:
        raise ProblemError(
            429, f"too many wrong codes: wait {wait_s} seconds", "read the code again", wait_s=wait_s
        )
    role = role_of_code(site.sessions.access, asked.code)
    if role is None:
        site.join_limit.wrong(address)
        raise ProblemError(401, "this is not the code", "read it again off the screen that runs the server")
    visitor = site.sessions.begin(role, asked.name.strip())
    audit(site.settings.folder, role, {"value": "joined", "address": address}, who=visitor.name)
    hand_out(request, visitor, response)
    return _seen(site, visitor)


@router.post("/leave", responses=answers(401, 403))
async def leave(response: Response, visitor: CrewChange, site: SiteHere) -> SessionSeen:
    """End the session of this browser."""
    response.delete_cookie(site.sessions.cookie, httponly=True, samesite="strict")
    return SessionSeen(role=None, name=visitor.name, token=None)


def _seen(site: Site, visitor: Visitor) -> SessionSeen:
    token = site.sessions.token(visitor) if visitor.role else None
    return SessionSeen(role=visitor.role, name=visitor.name, token=token)
