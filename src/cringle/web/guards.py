"""Who may: every handler names one of these."""

from __future__ import annotations

import ipaddress
from typing import Annotated, Final

from fastapi import Depends, Header, Request
from starlette.requests import HTTPConnection

from cringle.web.problems import ProblemError
from cringle.web.sessions import Visitor
from cringle.web.site import Site, site_of

TOKEN_HEADER: Final = "X-Cringle-Token"
LOCAL_NAME: Final = "coach"
UNLOCK: Final = "say on Between races that the race is over, when it is"


def is_loopback(request: HTTPConnection) -> bool:
    """Whether a request comes from this very machine; no header is believed."""
    try:
        return request.client is not None and ipaddress.ip_address(request.client.host).is_loopback
    except ValueError:
        return False


def visitor_of(request: HTTPConnection) -> Visitor:
    """Return who asks: by their session; on this machine the coach, without a code."""
    sessions = site_of(request).sessions
    found = sessions.read(request.cookies.get(sessions.cookie))
    if found is not None:
        return found
    return sessions.begin("coach", LOCAL_NAME) if is_loopback(request) else Visitor()


async def anybody(request: Request) -> Visitor:
    """Let everybody in."""
    return visitor_of(request)


async def reader(request: Request) -> Visitor:
    """Let in who has joined."""
    return _at_least(visitor_of(request), "crew")


async def coach(request: Request) -> Visitor:
    """Let in the coach."""
    return _at_least(visitor_of(request), "coach")


async def crew_change(
    request: Request, x_cringle_token: Annotated[str, Header(max_length=200)] = ""
) -> Visitor:
    """Let a change in from who has joined, out of our own page."""
    return _with_token(request, await reader(request), x_cringle_token)


async def coach_change(
    request: Request, x_cringle_token: Annotated[str, Header(max_length=200)] = ""
) -> Visitor:
    """Let a change in from the coach, out of our own page."""
    return _with_token(request, await coach(request), x_cringle_token)


def _at_least(visitor: Visitor, role: str) -> Visitor:
    if visitor.role is None:
        raise ProblemError(401, "you have not joined, or your session has ended", "join with the code again")
    if not visitor.may(role):
        raise ProblemError(
            403, f"only the {role} may do this", "ask the coach, or join with the coach's code"
        )
    return visitor


def _with_token(request: Request, visitor: Visitor, token: str) -> Visitor:
    if not site_of(request).sessions.token_is_right(visitor, token):
        step = f"ask /api/session for the token and send it as {TOKEN_HEADER}"
        raise ProblemError(403, "this change does not come from our own page", step)
    return visitor


def require_ashore(here: Site) -> None:
    """Refuse advice while racing.

    Raises
    ------
    ProblemError
        They are racing.
    """
    if here.served.evening().is_racing:
        raise ProblemError(423, "racing: no advice after the preparatory signal (RRS 41)", UNLOCK)


async def site(request: Request) -> Site:
    """Return the site."""
    return site_of(request)


SiteHere = Annotated[Site, Depends(site)]
Anybody = Annotated[Visitor, Depends(anybody)]
Reader = Annotated[Visitor, Depends(reader)]
Coach = Annotated[Visitor, Depends(coach)]
CrewChange = Annotated[Visitor, Depends(crew_change)]
CoachChange = Annotated[Visitor, Depends(coach_change)]
