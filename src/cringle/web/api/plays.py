"""Plays: which there are, their order and risk, duties, role cards, and timed runs."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter
from fastapi import Path as InPath
from fastapi.responses import Response
from pydantic import BaseModel, ConfigDict, Field

from cringle.web.api.paper import PDF
from cringle.web.api.uploads import WorkSeen, seen
from cringle.web.guards import CrewChange, Reader, SiteHere
from cringle.web.problems import ProblemError, answers
from cringle.web.site import Site
from cringle.web.views.studies import study_work
from cringle.workflows.plays.as_json import duties_json, listed_json, play_json, rehearsed_json
from cringle.workflows.plays.open import open_playbook
from cringle.workflows.plays.output import write_cards
from cringle.workflows.plays.play import duties_of, list_plays
from cringle.workflows.plays.rehearse import RunSaid, record_taps, rehearsed

router = APIRouter(prefix="/api/plays", tags=["plays"])
PlayName = Annotated[str, InPath(pattern="^[a-z0-9_]{1,60}$")]
Seconds = Annotated[float, Field(ge=0, le=3600, allow_inf_nan=False)]


def play_named(site: Site, name: str) -> str:
    """Return the id of a play of the book or the library; nothing else is ever opened.

    Raises
    ------
    ProblemError
        There is none.
    """
    if name not in open_playbook(site.settings.folder).paths:
        raise ProblemError(404, f"there is no play {name!r}", "choose one on Plays")
    return name


@router.get("", responses=answers(401, 403))
def plays(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the plays of the book and of the library, in the order of a race."""
    return listed_json(list_plays(site.settings.folder))


@router.get("/duties", responses=answers(401, 403))
def duties(site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Say who does, watches and says what on each leg."""
    return duties_json(duties_of(site.settings.folder))


@router.get("/cards.pdf", responses={**answers(401, 403), **PDF}, response_class=Response)
def cards(site: SiteHere, _visitor: Reader) -> Response:
    """Give role cards to print, one person a card."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "role-cards.pdf"
        write_cards(site.settings.folder, out)
        return Response(out.read_bytes(), media_type="application/pdf")


@router.get("/{play}", responses=answers(401, 403, 404, 429))
def play(play: PlayName, site: SiteHere, visitor: Reader) -> WorkSeen:
    """Check a play: order, slack, what decides it, heel, and how sure it is done in time."""
    return seen(study_work(site, "play", {"play": play_named(site, play)}, visitor.name))


@router.get("/{play}/words", responses=answers(401, 403, 404))
def words(play: PlayName, site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give a play as it is written."""
    return play_json(open_playbook(site.settings.folder).load(play_named(site, play)).play)


@router.get("/{play}/runs", responses=answers(401, 403, 404))
def runs(play: PlayName, site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give the record of a play so far."""
    return rehearsed_json(rehearsed(site.settings.folder, play_named(site, play)))


class RunTapped(BaseModel):
    """A run by the stop-watch: action to the moment it was tapped as done, from the call [s]."""

    model_config = ConfigDict(extra="forbid")

    taps_s: Annotated[dict[str, Seconds], Field(min_length=1, max_length=80)]
    afloat: bool = True
    note: Annotated[str, Field(max_length=400)] = ""


@router.post("/{play}/runs", responses=answers(401, 403, 404))
def run(play: PlayName, asked: RunTapped, site: SiteHere, visitor: CrewChange) -> dict[str, Any]:
    """Keep a timed run under the name of who tapped."""
    said = RunSaid(afloat=asked.afloat, note=asked.note)
    folder, name = site.settings.folder, play_named(site, play)
    return rehearsed_json(record_taps(folder, name, asked.taps_s, said, who=visitor.name))
