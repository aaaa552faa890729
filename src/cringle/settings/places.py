"""Where everybody sits in a row of the table, from the crew file and the row's posture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cringle.boat.class_file import ClassFile, Station
from cringle.boat.crew_file import Person


@dataclass(frozen=True)
class Place:
    """One person's place: who, at which station, how."""

    person: str
    station: str
    posture: str
    station_name: str = ""


def places(class_file: ClassFile, people: Sequence[Person], row_posture: str | None) -> tuple[Place, ...]:
    """Return where everybody sits.

    Parameters
    ----------
    class_file : ClassFile
        Stations and what is possible there.
    people : sequence of Person
        Who is aboard, with their usual station and posture.
    row_posture : str or None
        Posture of the row; None keeps the usual places.

    Notes
    -----
    ``hike`` keeps the usual places: only who usually hikes does, so that the class limit holds. Another
    posture is taken where the person's own station allows it, else at the first free station that does, else
    the person stays with the legs in. Who may not leave the rail keeps the station.
    """
    taken: dict[str, int] = {}
    out = []
    for person in people:
        station, posture = _seat(class_file, person, row_posture, taken)
        taken[station] = taken.get(station, 0) + 1
        known = class_file.station(station)
        out.append(Place(person.name, station, posture, known.name if known else ""))
    return tuple(out)


def _seat(
    class_file: ClassFile, person: Person, row_posture: str | None, taken: dict[str, int]
) -> tuple[str, str]:
    usual = (person.station, person.posture.value)
    if row_posture in (None, "hike"):
        return usual
    own = class_file.station(person.station)
    if own is not None and _allows(own, row_posture):
        return own.id, str(row_posture)
    free = [one for one in class_file.stations if taken.get(one.id, 0) < one.capacity]
    better = next((one for one in free if _allows(one, row_posture) and not one.ahead_of_shrouds), None)
    if better is not None and person.may_leave_rail:
        return better.id, str(row_posture)
    return (usual[0], "legs in") if own is not None and _allows(own, "legs in") else usual


def _allows(station: Station, posture: str | None) -> bool:
    return posture in {one.value for one in station.postures}
