"""People of the crew file changed from a page: weights and usual places, with who and why in the history."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any, Final

from cringle.boat.base import Posture
from cringle.boat.book_files import BookFiles
from cringle.boat.crew_file import CrewFile, Person
from cringle.boat.read import read_book_files
from cringle.boat.write import set_values, write_atomically
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import Clash, ConflictError, CringleError, InputError
from cringle.speed.crew_load import body_place, check_crew

CREW: Final = "crew.toml"
EDIT_KIND: Final = "toml_edit"
SOMEBODY: Final = "somebody"
_ONE_AT_A_TIME: Final = Lock()
"""Between reading the file and writing it nobody else of this process writes."""

Change = tuple[tuple[str | int, ...], Any]
"""Place in the file, and the value."""


@dataclass(frozen=True)
class Sitting:
    """Where a person sits and how: id of the person, id of the station, posture."""

    person: str
    station: str
    posture: str


def person_named(crew: CrewFile, name: str) -> tuple[int, Person]:
    """Return a person of the crew file with the place in it.

    Raises
    ------
    InputError
        There is nobody with that id.
    """
    for place, one in enumerate(crew.people):
        if one.id == name:
            return place, one
    known = ", ".join(one.id for one in crew.people)
    raise InputError(f"nobody {name!r} in crew.toml", next_step=f"use one of: {known}")


def set_weight(
    folder: Path, person: str, mass_kg: float, *, seen_kg: float, who: str, why: str = ""
) -> Person:
    """Write a person's weight into the crew file.

    Parameters
    ----------
    folder : Path
        The book.
    person : str
        Id.
    mass_kg, seen_kg : float
        The weight now, and the one that stood there when it was typed.
    who, why : str
        Kept in the history.

    Raises
    ------
    ConflictError
        Somebody wrote another weight meanwhile.
    BookFileError
        The weight is none; nothing is written.
    """
    with _ONE_AT_A_TIME:
        crew = read_book_files(folder).crew_file
        place, now = person_named(crew, person)
        if now.mass_kg != seen_kg:
            told = (f"{mass_kg:g} kg", f"{now.mass_kg:g} kg", f"{seen_kg:g} kg")
            raise _clash(folder, f"{now.name}'s weight", *told)
        words = f"{now.name} {mass_kg:g} kg"
        _write(folder, [(("people", place, "mass_kg"), mass_kg)], words, who=who, why=why)
        return person_named(read_book_files(folder).crew_file, person)[1]


def set_places(
    folder: Path, places: Sequence[Sitting], *, seen: Sequence[Sitting], who: str, why: str = ""
) -> tuple[Sitting, ...]:
    """Write everybody's usual place into the crew file; the class's rules are checked first.

    Raises
    ------
    ConflictError
        Somebody wrote other places meanwhile.
    RuleError, InputError
        The class does not allow it, or there is no such person, station or posture; nothing is written.
    """
    with _ONE_AT_A_TIME:
        files = read_book_files(folder)
        now = usual_places(files.crew_file)
        if set(seen) != set(now):
            raise _clash(folder, "the places", _told(places), _told(now), _told(seen))
        crew = seated(files, places)
        changes: list[Change] = []
        for place, one in enumerate(crew.people):
            changes += [
                (("people", place, "station"), one.station),
                (("people", place, "posture"), str(one.posture)),
            ]
        _write(folder, changes, _told(places), who=who, why=why)
        return usual_places(crew)


def usual_places(crew: CrewFile) -> tuple[Sitting, ...]:
    """Return where everybody usually sits."""
    return tuple(Sitting(one.id, one.station, str(one.posture)) for one in crew.people)


def seated(files: BookFiles, places: Sequence[Sitting]) -> CrewFile:
    """Return the crew in other places, checked against stations, postures, room and the class's rules.

    Raises
    ------
    InputError, RuleError
        A person, station or posture that is none; too many in one place; what the class does not allow.
    """
    asked = {one.person: one for one in places}
    for name in asked:
        person_named(files.crew_file, name)
    people = tuple(_moved(one, asked) for one in files.crew_file.people)
    for one in people:
        body_place(files.class_file, one, station=one.station, posture=one.posture)
    crew = files.crew_file.model_copy(update={"people": people})
    _require_room(files, people)
    check_crew(files.class_file, crew)
    return crew


def _moved(person: Person, asked: Mapping[str, Sitting]) -> Person:
    one = asked.get(person.id)
    if one is None:
        return person
    if one.posture not in {str(known) for known in Posture}:
        raise InputError(
            f"posture {one.posture!r}", next_step=f"use one of: {', '.join(str(known) for known in Posture)}"
        )
    return person.model_copy(update={"station": one.station, "posture": Posture(one.posture)})


def _require_room(files: BookFiles, people: Sequence[Person]) -> None:
    for station in files.class_file.stations:
        here = [one.name for one in people if one.station == station.id]
        if len(here) > station.capacity:
            raise InputError(
                f"{station.name} has room for {station.capacity}: {', '.join(here)} are there",
                next_step="move one of them",
            )


def _told(places: Sequence[Sitting]) -> str:
    return "; ".join(f"{one.person} {one.station}, {one.posture}" for one in places)


def _write(folder: Path, changes: Sequence[Change], words: str, *, who: str, why: str) -> None:
    """Change the file, read it again whole, and keep who changed it; put it back where anything refuses."""
    path = folder / CREW
    before = path.read_bytes()
    try:
        set_values(path, changes)
        read_book_files(folder)
        payload = {
            "file": CREW,
            "changes": [[list(place), value] for place, value in changes],
            "words": words,
        }
        with Book.open(folder, create=True, who=who) as book:
            book.write([NewEntry(EDIT_KIND, CREW, payload)], why=why or words)
    except CringleError:
        write_atomically(path, before)
        raise


def _clash(folder: Path, key: str, yours: str, theirs: str, base: str) -> ConflictError:
    with Book.open(folder, create=True) as book:
        edits = [one for one in book.history(EDIT_KIND) if one.key.subject == CREW]
    who, at = (
        (edits[-1].who, f"{edits[-1].at:%Y-%m-%d %H:%M} UTC") if edits else (SOMEBODY, "an unknown time")
    )
    return ConflictError([Clash(key, yours, theirs, who, at, base)])
