"""What the page Crew receives: people, the deck plan with every place, prices, and the models' answers."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Final

from markupsafe import Markup

from cringle.boat.crew_file import Person
from cringle.output.palette import PAGE
from cringle.output.speed_deck import LONG, OUTLINE, TOP, WIDE, DeckPlan, radius_of
from cringle.settings.table import SEAS
from cringle.web.site import Site
from cringle.web.views.studies import Studied, studied, wind_of_tonight
from cringle.workflows.speed.places import SeatDrawn, seats_drawn

CREW_HEADINGS: Final = {
    "heel": ("The price of heel upwind", "Seconds a mile lost beside the best heel, by wind; 90 % bands.")
}
DEPOWER_HEADINGS: Final = {
    "depower": (
        "Depowering as the wind builds",
        "Above, the righting moment not used yet; below, what is new to do.",
    )
}
BOX: Final = (WIDE / 2.0 - 180.0, TOP - 24.0, 320.0, LONG + 48.0)
"""Part of the plan that is shown, with room for a disc beyond the windward rail."""


@dataclass(frozen=True)
class PersonDrawn:
    """A person on the plan: who, disc, where now, and all places open to that person."""

    person: Person
    radius: float
    seats: tuple[SeatDrawn, ...]
    now: SeatDrawn | None
    stroke: str
    dash: str


@dataclass(frozen=True)
class CrewView:
    """Everything on the page.

    Parameters
    ----------
    people : tuple of PersonDrawn
        In the order of the crew file.
    boat : Markup
        Outline and stations, in the page's colours.
    box : tuple of float
        Of the drawing.
    data : Markup
        Seats and outlines for the script, as JSON.
    limits : str
        What the class allows.
    mass_kg, most_kg : float
        Everybody together, and the most the class allows.
    wind_kn : float
        Tonight's wind at 10 m.
    sea : str
        Whose answers are shown.
    crew, depower : Studied or None
        The models' answers; None while racing.
    """

    people: tuple[PersonDrawn, ...]
    boat: Markup
    box: tuple[float, float, float, float]
    data: Markup
    limits: str
    mass_kg: float
    most_kg: float
    wind_kn: float
    sea: str
    crew: Studied | None
    depower: Studied | None
    seas: tuple[str, ...] = SEAS


def crew_view(site: Site, sea: str | None) -> CrewView:
    """Return the page; nothing is worked out while racing."""
    evening, files = site.served.evening(), site.served.files()
    sea, wind = sea or evening.request.sea, wind_of_tonight(site)
    plan, limits = DeckPlan(files.class_file.hull), files.class_file.limits
    people = drawn(seats_drawn(files, plan), files.crew_file.people)
    crew = depower = None
    if not evening.is_racing:
        crew = studied(
            site, "crew", {"sea": sea}, ask="/api/crew", words="The speed model is weighing people and heel",
            headings=CREW_HEADINGS,
        )  # fmt: skip
        depower = studied(
            site, "depower", {"sea": sea}, ask="/api/crew/depower", words="The order of depowering comes",
            headings=DEPOWER_HEADINGS,
        )  # fmt: skip
    return CrewView(
        people=people,
        boat=Markup(plan.boat(files.class_file.stations, PAGE)),
        box=BOX,
        data=script_data(people),
        limits=f"{limits.crew_min} to {limits.crew_max} people, at most {limits.crew_mass_max:g} kg"
        f" ({limits.crew_rule}); at most {limits.hiking_max} hiking ({limits.hiking_rule})",
        mass_kg=files.crew_file.mass_kg,
        most_kg=limits.crew_mass_max,
        wind_kn=wind,
        sea=sea,
        crew=crew,
        depower=depower,
    )


def drawn(seats: Mapping[str, tuple[SeatDrawn, ...]], people: tuple[Person, ...]) -> tuple[PersonDrawn, ...]:
    """Return everybody on the plan."""
    found = []
    for person in people:
        own = seats[person.id]
        usual = (person.station, str(person.posture))
        now = next((one for one in own if (one.station, one.posture) == usual), None)
        stroke, dash = OUTLINE[person.posture]
        found.append(PersonDrawn(person, radius_of(person.mass_kg), own, now, stroke, dash))
    return tuple(found)


def script_data(people: tuple[PersonDrawn, ...]) -> Markup:
    """Return seats and outlines as JSON that can stand inside a page."""
    told = {
        "seats": {one.person.id: [asdict(seat) for seat in one.seats] for one in people},
        "outline": {str(posture): list(line) for posture, line in OUTLINE.items()},
    }
    return Markup(json.dumps(told, ensure_ascii=True).replace("<", "\\u003c").replace("&", "\\u0026"))
