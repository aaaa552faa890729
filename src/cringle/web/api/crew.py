"""People: weights and usual places, what an arrangement is worth, the models' answers about people."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.asked import Name, Sea
from cringle.web.guards import CoachChange, Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.web.site import Site
from cringle.web.views.studies import study_work
from cringle.workflows.crew_edit import Sitting, set_places, set_weight, usual_places
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed
from cringle.workflows.speed.places import MEMBERS, price_places, priced_json

router = APIRouter(prefix="/api/crew", tags=["crew"])
Kilograms = Annotated[float, Field(ge=25, le=180, allow_inf_nan=False)]
Place = Annotated[str, Field(min_length=1, max_length=160)]
Why = Annotated[str, Field(max_length=400)]


@router.get("", responses=answers(401, 403, 423, 429))
def crew(site: SiteHere, visitor: Reader, sea: Sea = "chop") -> WorkSeen:
    """Say what heel and people are worth, and who sits where, by wind."""
    require_ashore(site)
    return seen(study_work(site, "crew", {"sea": sea}, visitor.name))


@router.get("/depower", responses=answers(401, 403, 423, 429))
def depower(site: SiteHere, visitor: Reader, sea: Sea = "chop") -> WorkSeen:
    """Say what to do next as the wind builds."""
    require_ashore(site)
    return seen(study_work(site, "depower", {"sea": sea}, visitor.name))


@router.get("/people", responses=answers(401, 403))
def people(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the people with weights, roles and usual places."""
    found = site.served.files().crew_file
    told = [one.model_dump(mode="json") for one in found.people]
    return {"schema": 1, "crew_kg": found.mass_kg, "people": told}


class Seat(BaseModel):
    """Where a person sits and how."""

    model_config = ConfigDict(extra="forbid")

    person: Name
    station: Name
    posture: Name

    def sitting(self) -> Sitting:
        """Return it as the workflow takes it."""
        return Sitting(self.person, self.station, self.posture)


class Moved(BaseModel):
    """People in other places: as ``person|station|posture``, one each; the wind and the sea."""

    model_config = ConfigDict(extra="forbid")

    place: Annotated[list[Place], Field(max_length=12)] = []
    wind_kn: Annotated[float, Field(ge=1, le=40, allow_inf_nan=False)]
    sea: Sea = "chop"

    def sittings(self) -> tuple[Sitting, ...]:
        """Return the places as the workflow takes them."""
        parts = [(*one.split("|"), "", "")[:3] for one in self.place]
        return tuple(Sitting(*one) for one in parts)


@router.get("/price", responses=answers(401, 403, 423))
def price(asked: Annotated[Moved, Query()], site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Say what these places are worth upwind: the heel, and seconds a mile against the crew file's."""
    require_ashore(site)
    folder = site.settings.folder
    boat = _boat(site, asked.sea)
    return priced_json(price_places(folder, asked.sittings(), asked.wind_kn, sea=asked.sea, book=boat))


def _boat(site: Site, sea: str) -> SpeedBook:
    asked = SpeedAsked(sea=sea, members=MEMBERS)
    key = ("speed", site.served.stamp().files, site.served.evidence(), sea)
    return site.served.kept(key, lambda: open_speed(site.settings.folder, asked))


class Weighed(BaseModel):
    """A person's weight, and the one that was seen before."""

    person: Name
    mass_kg: Kilograms
    seen_kg: Kilograms
    why: Why = ""


class Weight(BaseModel):
    """A person's weight as it stands now, and as it stood."""

    person: str
    mass_kg: float
    before_kg: float


@router.put("/weight", responses=answers(401, 403, 409))
def weight(asked: Weighed, site: SiteHere, visitor: CoachChange) -> Weight:
    """Write a person's weight."""
    told = (asked.person, asked.mass_kg)
    done = set_weight(site.settings.folder, *told, seen_kg=asked.seen_kg, who=visitor.name, why=asked.why)
    return Weight(person=done.id, mass_kg=done.mass_kg, before_kg=asked.seen_kg)


class Places(BaseModel):
    """Everybody's usual places, and those that were seen before."""

    places: Annotated[list[Seat], Field(min_length=1, max_length=12)]
    seen: Annotated[list[Seat], Field(min_length=1, max_length=12)]
    why: Why = ""


@router.put("/places", responses=answers(401, 403, 409))
def places(asked: Places, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Write where everybody usually sits; the class's rules are checked first."""
    told, before = ([one.sitting() for one in some] for some in (asked.places, asked.seen))
    done = set_places(site.settings.folder, told, seen=before, who=visitor.name, why=asked.why)
    return {"schema": 1, "places": [vars(one) for one in done]}


@router.get("/places", responses=answers(401, 403))
def usual(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give where everybody usually sits."""
    found = usual_places(site.served.files().crew_file)
    return {"schema": 1, "places": [vars(one) for one in found]}
