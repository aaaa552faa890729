"""The settings table: show it, write one number, empty it, look back, go back."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import BaseModel, ConfigDict, Field

from cringle.output.wording import mark_text
from cringle.settings.pairs import PairAdvice
from cringle.settings.tonight import move_json
from cringle.web.api.paper import PDF
from cringle.web.asked import Knots, Name, Sea
from cringle.web.guards import CoachChange, Reader, SiteHere
from cringle.web.problems import ProblemError, answers
from cringle.web.site import Site
from cringle.workflows.books.history import Back, entry_as_json, revert, reverted_as_json
from cringle.workflows.numbers.cells import CellPlace, empty_cell, see_cell
from cringle.workflows.numbers.marks import print_strips
from cringle.workflows.numbers.settings import MovesAsked, SettingChange, list_moves, set_number, show_table

router = APIRouter(prefix="/api/numbers", tags=["numbers"])
EntryId = Annotated[int, Field(ge=1, le=2**53)]
Why = Annotated[str, Field(max_length=400)]


class Place(BaseModel):
    """Which cell of the table."""

    model_config = ConfigDict(extra="forbid")

    role: Name
    wind_kn: Knots
    gear: Name = "settled"
    sail_set: Name | None = None
    sea: Sea = "chop"

    def cell(self) -> CellPlace:
        """Return the place as the workflow takes it."""
        return CellPlace(self.role, self.wind_kn, self.gear, self.sail_set, self.sea)


class NumberSaid(Place):
    """A number for a cell; None empties it. `base_id` is the entry seen there, None an empty cell."""

    value: Annotated[float, Field(allow_inf_nan=False)] | None
    why: Why = ""
    base_id: EntryId | None


class NumberKept(BaseModel):
    """The entry the number stands in now, what stood before, and what to think about."""

    entry_id: int
    value: float | None
    before: float | None
    warnings: list[str]
    advice: str | None


def fixed_at(site: Site) -> str | None:
    """Return the entry that the table is shown as of while racing, as text, else None."""
    evening = site.served.evening()
    return None if evening.fixed_at is None else f"#{evening.fixed_at}"


@router.get("", responses=answers(401, 403))
def numbers(
    site: SiteHere,
    _visitor: Reader,
    sail_set: Name | None = None,
    sea: Sea = "chop",
    as_of: Name | None = None,
) -> dict[str, Any]:
    """Give the cells of one sail set and sea, as they stand or as they stood."""
    view = show_table(site.settings.folder, sail_set=sail_set, sea=sea, as_of=fixed_at(site) or as_of)
    cells = [one for one in view.table.cells if one.sail_set == view.sail_set and one.sea == view.sea]
    return {
        "schema": 1,
        "sail_set": view.sail_set,
        "sea": view.sea,
        "cells": [
            {
                "gear": one.gear,
                "wind_kn": one.wind_kn,
                "role": one.role,
                "value": one.number.value,
                "unit": one.number.unit,
                "source": one.number.source.value,
                "entry_id": one.entry_id,
            }
            for one in cells
        ],
    }


@router.get("/cell", responses=answers(401, 403))
def cell(place: Annotated[Place, Query()], site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give one cell with everything that was written there."""
    seen = see_cell(site.settings.folder, place.cell(), until=site.served.evening().fixed_at)
    return {
        "schema": 1,
        "entry_id": seen.history[-1].id if seen.history else None,
        "value": None if seen.now is None else seen.now.value,
        "history": [
            {**entry_as_json(one), "who": one.who, "why": one.why, "at_utc": one.at.isoformat()}
            for one in seen.history
        ],
    }


@router.put("/cell", responses=answers(401, 403, 409))
def write_cell(said: NumberSaid, site: SiteHere, visitor: CoachChange) -> NumberKept:
    """Write one number, or empty the cell; a number that changed meanwhile is never written over."""
    folder, place = site.settings.folder, said.cell()
    if said.value is None:
        return _emptied(site, said, visitor.name)
    change = SettingChange(
        place.role,
        place.wind_kn,
        said.value,
        gear=place.gear,
        sail_set=place.sail_set,
        sea=place.sea,
        base_id=said.base_id,
        seen_empty=said.base_id is None,
    )
    done = set_number(folder, change, who=visitor.name, why=said.why)
    return NumberKept(
        entry_id=done.cell.entry_id or 0,
        value=done.cell.number.value,
        before=None if done.before is None else done.before.number.value,
        warnings=list(done.warnings),
        advice=None if done.advice is None else _advised(done.advice),
    )


def _advised(advice: PairAdvice) -> str:
    note = f" ({advice.note})" if advice.note else ""
    return f"{advice.name}: {advice.word} from {mark_text(advice.start)} to {mark_text(advice.end)}{note}"


def _emptied(site: Site, said: NumberSaid, who: str) -> NumberKept:
    if said.base_id is None:
        raise ProblemError(422, "the cell is empty already", "nothing is to be done")
    before = see_cell(site.settings.folder, said.cell()).now
    done = empty_cell(site.settings.folder, said.cell(), base_id=said.base_id, who=who, why=said.why)
    return NumberKept(
        entry_id=done.id,
        value=None,
        before=None if before is None else before.value,
        warnings=[],
        advice=None,
    )


class GoingBack(BaseModel):
    """To which earlier table: a date, an instant, or the number of an entry as #12."""

    to: Name
    why: Why = ""
    only_show: bool = False


@router.post("/restore", responses=answers(401, 403))
def restore(asked: GoingBack, site: SiteHere, visitor: CoachChange) -> dict[str, Any]:
    """Bring back an earlier table as new entries; nothing is deleted."""
    back = Back(to=asked.to, why=asked.why or None)
    return reverted_as_json(revert(site.settings.folder, back, who=visitor.name, only_show=asked.only_show))


class MovesWanted(BaseModel):
    """From which wind to which."""

    model_config = ConfigDict(extra="forbid")

    from_kn: Knots
    to_kn: Knots
    sail_set: Name | None = None
    sea: Sea = "chop"
    gear: Name | None = None


@router.get("/moves", responses=answers(401, 403, 423))
def moves(asked: Annotated[MovesWanted, Query()], site: SiteHere, _visitor: Reader) -> dict[str, Any]:
    """Give who does what when the wind goes from one strength to another."""
    if site.served.evening().is_racing:
        raise ProblemError(
            423, "racing: no moves for another wind (RRS 41)", "say that the race is over first"
        )
    found = list_moves(site.settings.folder, MovesAsked(**asked.model_dump()))
    return {"schema": 1, "moves": [move_json(one) for one in found]}


@router.get("/strips.pdf", responses={**answers(401, 403), **PDF}, response_class=Response)
def strips(site: SiteHere, _visitor: Reader, paper: Literal["a4", "letter"] = "a4") -> Response:
    """Give the scale strips of every control, true to size."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "strips.pdf"
        print_strips(site.settings.folder, [], out, paper=paper)
        return Response(out.read_bytes(), media_type="application/pdf")
