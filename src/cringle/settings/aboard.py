"""Who is aboard tonight: some or all of the crew file, and guests with a name and a weight."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence

from cringle.boat.crew_file import CrewFile, Person
from cringle.errors import InputError, OutOfRangeError
from cringle.settings.names import nearest

LIGHTEST_KG, HEAVIEST_KG = 25.0, 180.0
"""Accepted weight of a guest [kg], as in the crew file."""

GUEST_HEIGHT_M = 1.75
"""Height taken for a guest of whom only the weight is known [m]; a round figure, changes no number."""


def people_aboard(crew: CrewFile, wanted: Sequence[str]) -> tuple[Person, ...]:
    """Return the people aboard.

    Parameters
    ----------
    crew : CrewFile
        The crew.
    wanted : sequence of str
        Names or ids; ``name=kg`` for a guest, who takes the place of the first person missing. Empty means
        everybody.

    Raises
    ------
    InputError
        A name nobody of the crew has (the nearest one is named), or twice the same person.
    OutOfRangeError
        A guest's weight is impossible.
    """
    if not wanted:
        return crew.people
    guests = [one for one in wanted if "=" in one]
    people = [_of_crew(crew, name) for name in wanted if "=" not in name]
    twice = {one.name for one in people if people.count(one) > 1}
    if twice:
        raise InputError(f"aboard twice: {', '.join(sorted(twice))}", next_step="name each person once")
    missing = [one for one in crew.people if one not in people]
    if len(guests) > len(missing):
        raise InputError(
            f"{len(guests)} guests, but only {len(missing)} places are free",
            next_step="leave out as many of the crew as guests come, or add the guest to crew.toml",
        )
    people += [_guest(text, seat) for text, seat in zip(guests, missing, strict=False)]
    return _in_crew_order(crew, people)


def _in_crew_order(crew: CrewFile, people: Iterable[Person]) -> tuple[Person, ...]:
    stations = [one.station for one in crew.people]
    return tuple(sorted(people, key=lambda one: stations.index(one.station)))


def _of_crew(crew: CrewFile, name: str) -> Person:
    wanted = name.strip().casefold()
    found = next((one for one in crew.people if wanted in (one.id.casefold(), one.name.casefold())), None)
    if found is None:
        names = [one.name for one in crew.people]
        close = nearest(name, names)
        hint = f"; did you mean {close!r}?" if close else ""
        raise InputError(
            f"nobody of the crew is called {name!r}; the crew: {', '.join(names)}{hint}",
            next_step="give a guest with the weight in kg, such as --aboard Ines,Guest=68",
        )
    return found


def _guest(text: str, seat: Person) -> Person:
    name, _, mass = text.partition("=")
    try:
        mass_kg = float(mass)
    except ValueError:
        mass_kg = math.nan
    if not LIGHTEST_KG <= mass_kg <= HEAVIEST_KG or not name.strip():
        raise OutOfRangeError(
            f"weight of guest {name!r}",
            mass_kg,
            LIGHTEST_KG,
            HEAVIEST_KG,
            unit="kg",
            next_step="as in Guest=68",
        )
    identifier = re.sub(r"[^a-z0-9]+", "_", name.strip().casefold()).strip("_0123456789") or "guest"
    return Person(
        id=identifier[:48],
        name=name.strip(),
        mass_kg=mass_kg,
        height_m=GUEST_HEIGHT_M,
        role=seat.role,
        roles=(seat.role,),
        station=seat.station,
        posture=seat.posture,
    )
