"""What an arrangement of people is worth upwind, against the one in the crew file, in one wind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from cringle.boat.base import Posture
from cringle.boat.book_files import BookFiles
from cringle.boat.crew_file import CrewFile
from cringle.boat.read import read_book_files
from cringle.output.speed_deck import DeckPlan
from cringle.speed.crew import Change, crew_worth
from cringle.speed.crew_load import body_place
from cringle.speed.seats import seats_of
from cringle.speed.targets import targets
from cringle.workflows.crew_edit import Sitting, seated
from cringle.workflows.speed.as_json import number, with_ends
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed
from cringle.workflows.speed.speed import winds_asked

MEMBERS: Final = 8
"""Boats of the ensemble behind a price that is shown while people are moved."""

LEAST_OUT_M: Final = 0.02
"""Nobody to windward counts as this much: the model lets people come in, never farther out than they sit."""


@dataclass(frozen=True)
class PlacesPriced:
    """What an arrangement gives.

    Parameters
    ----------
    wind_kn : float
        True wind at 10 m.
    heel_deg : float
        Best heel upwind with people no farther out than they sit; NaN where there is no target.
    s_per_mile, low, high : float
        Seconds a mile made good longer than as the crew file has it, with the 90 % interval.
    hiking_kg, legs_in_kg : float
        Mass that hikes, and that is on the rail with the legs in.
    out_m, forward_m : float
        Mean mass centre to windward, and forward of where the crew file has it.
    """

    wind_kn: float
    heel_deg: float
    s_per_mile: float
    low: float
    high: float
    hiking_kg: float
    legs_in_kg: float
    out_m: float
    forward_m: float


def price_places(
    folder: Path,
    places: Sequence[Sitting],
    wind_kn: float,
    *,
    sea: str = "chop",
    book: SpeedBook | None = None,
) -> PlacesPriced:
    """Return what people in other places are worth upwind.

    Parameters
    ----------
    folder : Path
        The book.
    places : sequence of Sitting
        Who sits elsewhere than in the crew file.
    wind_kn : float
        True wind at 10 m.
    sea : str
        ``flat``, ``chop`` or ``waves``.
    book : SpeedBook, optional
        The boat, where it is at hand already.

    Raises
    ------
    InputError, RuleError
        A wind, person, station or posture that is none; what the class does not allow.
    """
    wind = winds_asked([wind_kn])
    crew = seated(read_book_files(folder), places)
    book = book or open_speed(folder, SpeedAsked(sea=sea, members=MEMBERS))
    out, forward = _centre(book, crew)
    _, usual_forward = _centre(book, book.crew)
    load = replace(
        book.model.crew,
        hike_m=max(out, LEAST_OUT_M),
        hike_height_m=_height(book, crew),
        forward_m=book.model.crew.forward_m + forward - usual_forward,
    )
    change = Change("places", "these places", load)
    (worth,) = crew_worth(book.model, book.boats, wind, wanted=[change], with_run=False)
    found = targets(book.model.with_crew(load), wind, case=book.model.upwind)
    known = worth.s_per_mile_90
    return PlacesPriced(
        wind_kn=wind_kn,
        heel_deg=float(found.cells.heel_deg[0]),
        s_per_mile=float(worth.s_per_mile[0]),
        low=float(known.low[0]),
        high=float(known.high[0]),
        hiking_kg=_mass(crew, Posture.HIKE),
        legs_in_kg=_mass(crew, Posture.LEGS_IN),
        out_m=out,
        forward_m=forward - usual_forward,
    )


def _centre(book: SpeedBook, crew: CrewFile) -> tuple[float, float]:
    class_file = book.files.class_file
    bodies = [body_place(class_file, one, station=one.station, posture=one.posture) for one in crew.people]
    side = sum(one.mass_kg * one.off_centre_m for one in bodies)
    forward = sum(one.mass_kg * one.forward_m for one in bodies)
    return side / crew.mass_kg, forward / crew.mass_kg


def _height(book: SpeedBook, crew: CrewFile) -> float:
    class_file = book.files.class_file
    bodies = [body_place(class_file, one, station=one.station, posture=one.posture) for one in crew.people]
    return sum(one.mass_kg * one.height_m for one in bodies) / crew.mass_kg


def _mass(crew: CrewFile, posture: Posture) -> float:
    return sum(one.mass_kg for one in crew.people if one.posture == posture)


def priced_json(found: PlacesPriced) -> dict[str, Any]:
    """Return a price as plain values."""
    return {
        "schema": 1,
        "wind_kn": found.wind_kn,
        "heel_deg": number(found.heel_deg, 1),
        **with_ends("cost", "s_per_mile", (found.s_per_mile, found.low, found.high)),
        "hiking_kg": number(found.hiking_kg, 1),
        "legs_in_kg": number(found.legs_in_kg, 1),
        "out_m": number(found.out_m, 2),
        "forward_m": number(found.forward_m, 2),
    }


@dataclass(frozen=True)
class SeatDrawn:
    """A place somebody may take: station, posture, in words, and where it is on the deck plan."""

    station: str
    posture: str
    words: str
    x: float
    y: float


def seats_drawn(files: BookFiles, plan: DeckPlan) -> dict[str, tuple[SeatDrawn, ...]]:
    """Return every place that everybody may take in tonight's role, by the id of the person."""
    found = {}
    for person in files.crew_file.people:
        seats = seats_of(files.class_file, person, person.role)
        found[person.id] = tuple(
            SeatDrawn(
                one.station,
                str(one.posture),
                f"{one.station_name}, {one.posture}",
                *plan.at(one.forward_m, one.off_centre_m),
            )
            for one in seats
        )
    return found
