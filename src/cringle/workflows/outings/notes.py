"""What is noted during a day: wind, sea, people, sails, rig, settings in force and observations."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from cringle.book.failures import explained
from cringle.book.files import copy_file, sha256_of
from cringle.book.outing_notes import (
    Note,
    Observation,
    RigNote,
    SailNote,
    SeaNote,
    SettingNote,
    WindNote,
    note_entry,
)
from cringle.book.outings import Outing
from cringle.errors import InputError, OutOfRangeError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.outing import (
    Door,
    chosen_outing,
    crew_note,
    outing_named,
    require_near,
    said_instant,
)

PHOTO_FOLDER: Final = "logs/photos"
MOST_PHOTO_BYTES: Final = 50_000_000
Maker = Callable[[Records, datetime], list[Note]]


@dataclass(frozen=True)
class WindSaid:
    """A wind as a person says it; see `WindNote`. Without a height the table's reference height is meant."""

    wind_kn: float
    height_m: float | None = None
    low_kn: float | None = None
    high_kn: float | None = None
    gust_kn: float | None = None
    direction_deg: float | None = None
    reference: str = "felt"


@dataclass(frozen=True)
class Observed:
    """What somebody saw, felt or heard, about which boat (None is our own), with a tag and a photo."""

    text: str
    boat: str | None = None
    tag: str | None = None
    photo: Path | None = None


def note_wind(door: Door, said: WindSaid) -> Outing:
    """Note the wind as it is."""

    def make(records: Records, at: datetime) -> list[Note]:
        reference_m = records.files.boat_file.boat.wind_height_m
        return [
            WindNote(
                at=at,
                wind_kn=said.wind_kn,
                height_m=reference_m if said.height_m is None else said.height_m,
                low_kn=said.low_kn,
                high_kn=said.high_kn,
                gust_kn=said.gust_kn,
                direction_deg=said.direction_deg,
                reference=said.reference,
            )
        ]

    return _noted(door, make, why="wind")


def note_sea(door: Door, sea: str) -> Outing:
    """Note the sea as it is: ``flat``, ``chop`` or ``waves``."""
    return _noted(door, lambda _, at: [SeaNote(at, sea)], why="sea")


def note_crew(door: Door, people: Sequence[str]) -> Outing:
    """Note who is aboard from now on."""
    return _noted(door, lambda records, at: [crew_note(records, at, people)], why="people aboard")


def note_sails(door: Door, hours: Mapping[str, float]) -> Outing:
    """Note that sails were used, each for so many hours [h].

    Raises
    ------
    InputError
        The boat owns no such sail.
    """

    def make(records: Records, at: datetime) -> list[Note]:
        owned = [one.id for one in records.files.boat_file.sails]
        for sail in hours:
            _known("sail", sail, owned)
        return [SailNote(at, sail, hours[sail]) for sail in hours]

    return _noted(door, make, why="sails used")


def note_rig(
    door: Door, turns: Mapping[str, float], *, row_kn: float | None = None, text: str = ""
) -> Outing:
    """Note the rig as set: turns from the base tune by screw, and the row of the table they are of [kn].

    Raises
    ------
    InputError
        The boat has no such screw, or the number is outside its range.
    """

    def make(records: Records, at: datetime) -> list[Note]:
        screws = {one.id: one for one in records.files.boat_file.screws}
        for name, value in turns.items():
            _known("screw", name, list(screws))
            _inside(name, value, screws[name].low, screws[name].high, "turn")
        return [RigNote(at, dict(turns), row_kn, text)]

    return _noted(door, make, why="rig as set")


def note_settings(door: Door, values: Mapping[str, float]) -> Outing:
    """Note the numbers that roles are set to from now on, each in the unit of its control.

    Raises
    ------
    InputError
        The boat has no line or screw with such a role, or the number is outside its range.
    """

    def make(records: Records, at: datetime) -> list[Note]:
        boat = records.files.boat_file
        notes: list[Note] = []
        for role, value in values.items():
            _known("role", role, boat.roles())
            control = boat.for_role(role)[0]
            _inside(role, value, control.low, control.high, control.unit)
            notes.append(SettingNote(at, role, value, control.unit))
        return notes

    return _noted(door, make, why="settings in force")


def note_start_numbers(door: Door, request: TonightRequest, gear: str) -> Outing:
    """Note that everything stands at the table's start numbers for a wind, in one gear or technique.

    Raises
    ------
    InputError
        The table has no numbers for this gear in this wind.
    """
    found = tonight(door.folder, request).numbers
    values = {one.role: one.number.value for one in found.numbers if one.gear == gear}
    if not values:
        raise InputError(
            f"no numbers for {gear!r} in {found.wind_kn:g} kn; the table has: {', '.join(found.gears)}",
            next_step="give --gear, or the numbers one by one: ROLE=NUMBER",
        )
    return note_settings(door, values)


def note_observation(door: Door, observed: Observed) -> Outing:
    """Keep an observation; a photo is copied byte for byte into the book first."""

    def make(records: Records, at: datetime) -> list[Note]:
        file, digest = (None, None) if observed.photo is None else keep_photo(records, observed.photo)
        boat = observed.boat or records.files.boat_file.boat.name
        return [
            Observation(at, observed.text, door.who, boat=boat, tag=observed.tag, file=file, sha256=digest)
        ]

    return _noted(door, make, why="observation")


def keep_photo(records: Records, photo: Path) -> tuple[str, str]:
    """Copy a photo into the book byte for byte; return where, relative to the book, and its digest.

    Raises
    ------
    InputError
        There is no such file, or it is too large.
    BookError
        It cannot be copied.
    """
    if not photo.is_file():
        raise InputError(f"{photo}: no such file", next_step="give the path of the photo")
    if photo.stat().st_size > MOST_PHOTO_BYTES:
        raise InputError(
            f"{photo}: larger than {MOST_PHOTO_BYTES // 1_000_000} MB", next_step="make it smaller"
        )
    digest = sha256_of(photo)
    name = f"{PHOTO_FOLDER}/{digest[:16]}{photo.suffix.lower()}"
    if not (records.book.directory / name).is_file():
        with explained(photo):
            copy_file(photo, records.book.directory / name)
    return name, digest


def _noted(door: Door, make: Maker, *, why: str) -> Outing:
    with open_records(door.folder, who=door.who) as records:
        outing = chosen_outing(records, door.outing)
        at = said_instant(door.at, outing.day, records)
        require_near(outing, at)
        notes = make(records, at)
        records.book.write([note_entry(outing.id, note) for note in notes], why=why)
        return outing_named(records, outing.id)


def _known(what: str, name: str, known: Sequence[str]) -> None:
    if name not in known:
        raise InputError(f"no {what} {name!r}; known: {', '.join(known)}", next_step="use one of these")


def _inside(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not low <= value <= high:
        raise OutOfRangeError(
            name, value, low, high, unit=unit, next_step="read the number off the scale again"
        )
