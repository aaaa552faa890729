"""The run: techniques by wind with their windows, and questions about lanes."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Sea
from cringle.web.guards import Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.web.views.studies import study_work

router = APIRouter(prefix="/api/run", tags=["run"])
Question = Literal["higher-lower", "lower-lane", "split", "shift", "layline", "clear-air"]


def number(low: float, high: float) -> Any:
    """Return what a number in a query has to be."""
    return Field(ge=low, le=high, allow_inf_nan=False)


class LaneAsked(BaseModel):
    """A question about lanes, and the numbers it needs; the others stay as they are."""

    model_config = ConfigDict(extra="forbid")

    question: Question = "higher-lower"
    wind_kn: Annotated[float, number(1, 40)]
    point: Literal["up", "down"] = "up"
    lower_deg: Annotated[float, number(-20, 20)] = 4.0
    seconds: Annotated[float, number(1, 3600)] = 120.0
    gybe_loss_m: Annotated[float, number(0, 200)] = 12.0
    leg_minutes: Annotated[float, number(0.5, 120)] = 8.0
    clear_percent: Annotated[float, number(-20, 20)] = 0.0
    slowed_percent: Annotated[float, number(0, 50)] = 5.0
    right_m: Annotated[float, number(-5000, 5000)] = 100.0
    ahead_m: Annotated[float, number(-5000, 5000)] = 0.0
    shift_deg: Annotated[float, number(-60, 60)] = 8.0
    behind_m: Annotated[float, number(1, 500)] = 30.0
    beside_m: Annotated[float, number(-200, 200)] = 0.0
    sea: Sea = "chop"


@router.get("", responses=answers(401, 403, 423, 429))
def run(site: SiteHere, visitor: Reader, sea: Sea = "chop") -> WorkSeen:
    """Say how soak, wing and plane compare by wind, and the windows in which each is best."""
    require_ashore(site)
    return seen(study_work(site, "run", {"sea": sea}, visitor.name))


@router.get("/lane", responses=answers(401, 403, 423, 429))
def lane(asked: Annotated[LaneAsked, Query()], site: SiteHere, visitor: Reader) -> WorkSeen:
    """Price a lane: metres gained or lost, the break-even, and a picture with the wind from the top."""
    require_ashore(site)
    return seen(study_work(site, "lane", asked.model_dump(), visitor.name))
