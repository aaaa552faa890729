"""Tonight: numbers for conditions, the conditions everybody shares, and the lock while racing."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import StreamingResponse
from pydantic import BaseModel, ConfigDict, Field
from starlette.requests import Request

from cringle.settings.tonight import tonight_json
from cringle.web.asked import TonightAsked
from cringle.web.guards import CrewChange, Reader, SiteHere, visitor_of
from cringle.web.problems import ProblemError, answers
from cringle.workflows.outings.evening import share_conditions
from cringle.workflows.outings.moments import Moment, lock, moment, set_signal, unlock

router = APIRouter(prefix="/api", tags=["tonight"])
EntryId = Annotated[int, Field(ge=1, le=2**53)]


class TonightSeen(BaseModel):
    """Tonight's numbers; unknown is null."""

    model_config = ConfigDict(extra="allow")

    schema_: Annotated[int, Field(alias="schema")]
    wind_kn: float
    gears: dict[str, dict[str, float]]


@router.get("/tonight", responses=answers(401, 403, 423), response_model=TonightSeen)
def tonight(asked: Annotated[TonightAsked, Query()], site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the numbers for a wind; without one, for the conditions everybody shares."""
    evening = site.served.evening()
    empty = not asked.model_dump(exclude_defaults=True)
    request = evening.request if empty else asked.request()
    if evening.is_racing and request != evening.request:
        step = "read the fixed numbers, or say that the race is over"
        raise ProblemError(423, "racing: no numbers for another wind (RRS 41)", step)
    return tonight_json(site.served.tonight(request, fixed_at=evening.fixed_at))


class Conditions(TonightAsked):
    """Conditions for everybody, and the entry that was seen before."""

    base_id: EntryId | None = None

    def asked(self) -> TonightAsked:
        """Return the conditions alone."""
        return TonightAsked.model_validate(self.model_dump(exclude={"base_id"}))


class Shared(BaseModel):
    """The entry that the conditions now stand in."""

    entry_id: int


@router.put("/tonight/conditions", responses=answers(401, 403, 409))
def conditions(asked: Conditions, site: SiteHere, visitor: CrewChange) -> Shared:
    """Tell everybody tonight's conditions."""
    request = asked.asked().request()
    site.served.tonight(request)
    done = share_conditions(site.settings.folder, request, who=visitor.name, base_id=asked.base_id)
    return Shared(entry_id=done.id)


class Racing(BaseModel):
    """Whether you race."""

    racing: bool


@router.put("/racing", responses=answers(401, 403))
def racing(asked: Racing, site: SiteHere, visitor: CrewChange) -> Racing:
    """Fix the content at the preparatory signal, or let it follow the book again."""
    if asked.racing:
        lock(site.settings.folder, site.served.evening().request, who=visitor.name)
    else:
        unlock(site.settings.folder, who=visitor.name)
    return Racing(racing=site.served.evening().is_racing)


class SignalAsked(BaseModel):
    """When the next preparatory signal is, by the boat's own clock."""

    at: Annotated[str, Field(pattern=r"^\d{2}:\d{2}$")]


class SignalSeen(BaseModel):
    """The next preparatory signal; null when nobody has said when, or while racing."""

    signal_utc: str | None
    minutes_left: int | None
    racing: bool


@router.get("/signal", responses=answers(401, 403))
def signal(site: SiteHere, _visitor: Reader) -> SignalSeen:
    """Give the next preparatory signal and the minutes left; one that has passed locks first."""
    return _seen(moment(site.settings.folder))


@router.put("/signal", responses=answers(401, 403))
def signal_said(asked: SignalAsked, site: SiteHere, visitor: CrewChange) -> SignalSeen:
    """Say when the next preparatory signal is; at that instant every page locks."""
    return _seen(set_signal(site.settings.folder, asked.at, who=visitor.name))


def _seen(now: Moment) -> SignalSeen:
    at = None if now.signal is None or now.is_locked else now.signal.isoformat()
    return SignalSeen(signal_utc=at, minutes_left=now.minutes_left, racing=now.is_locked)


@router.get(
    "/live",
    responses={
        **answers(401, 403, 429),
        200: {"content": {"text/event-stream": {}}, "description": "Events."},
    },
    response_class=StreamingResponse,
)
async def live(request: Request, site: SiteHere, visitor: Reader) -> StreamingResponse:
    """Tell what is written into the book as it happens: hello, change, beat, replaced, trouble, out."""
    if site.live.is_full:
        raise ProblemError(429, "too many pages listen", "close some", wait_s=10)
    last = request.headers.get("last-event-id", "")
    since = int(last) if last.isdigit() and len(last) < 16 else None

    def still_welcome() -> bool:
        return visitor_of(request).may(visitor.role or "coach")

    return StreamingResponse(site.live.listen(still_welcome, since), media_type="text/event-stream")
