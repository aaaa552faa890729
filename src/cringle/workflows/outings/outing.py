"""The record of one day: begin it, end it, show it, and find the one that a note belongs to.

Every function names the book's folder, does one thing that a person does, and returns what was kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Final

from cringle.book.entries import Entry, NewEntry
from cringle.book.local_time import day_and_clock_text, instant_of
from cringle.book.outing_notes import MOST_GOALS, CrewNote, note_entry
from cringle.book.outings import OUTING_KINDS, Outing, add_hours, assemble, outing_id
from cringle.book.rows import time_text
from cringle.errors import Collected, Finding, InputError
from cringle.workflows.book_open import Records, open_records

EARLIEST_BEFORE_START: Final = timedelta(hours=12)
LATEST_AFTER_START: Final = timedelta(hours=36)
"""A note about an instant further from the start of its outing is a slip of the date."""

DAY_KINDS: Final = tuple(kind for kind in OUTING_KINDS if kind not in ("goal", "log"))
"""Kinds whose subject is the id of the outing."""


@dataclass(frozen=True)
class Door:
    """By which door a note comes in: the book, who writes, about which outing and instant.

    Parameters
    ----------
    folder : Path
        The book.
    who : str
        Who writes.
    outing : str or None
        Id of the outing; None takes the one that goes on, else the newest.
    at : str or None
        Local time on the day of the outing, or a whole date and time; None is now.
    """

    folder: Path
    who: str = "coach"
    outing: str | None = None
    at: str | None = None


def start_outing(door: Door, *, place: str | None = None, people: Sequence[str] | None = None) -> Outing:
    """Begin an outing, with who is aboard.

    Parameters
    ----------
    door : Door
        Its `outing` is not looked at.
    place : str or None
        None takes the boat's home water.
    people : sequence of str or None
        Ids of the crew file; None takes everybody in it.

    Raises
    ------
    InputError
        Another outing still goes on, or somebody is not in the crew file.
    """
    with open_records(door.folder, who=door.who) as records:
        going_on = [one.id for one in outing_index(records) if one.is_open]
        if going_on:
            raise InputError(f"outing {going_on[-1]} still goes on", next_step="run: cringle outing end")
        today = records.book.now().astimezone(records.zone).date()
        at = said_instant(door.at, today, records)
        taken = {entry.key.subject for entry in records.book.history("outing_start")}
        name = outing_id(at.astimezone(records.zone).date(), taken)
        where = place or records.files.boat_file.boat.home_water
        begun = NewEntry("outing_start", name, {"at": time_text(at), "place": where})
        aboard = note_entry(name, crew_note(records, at, people))
        records.book.write([begun, aboard], why="outing begins")
        return outing_named(records, name)


def end_outing(door: Door) -> Outing:
    """End an outing.

    Raises
    ------
    InputError
        None goes on, or it would end before it began.
    """
    with open_records(door.folder, who=door.who) as records:
        outing = chosen_outing(records, door.outing)
        if not outing.is_open:
            raise InputError(f"outing {outing.id} has ended already", next_step="start the next one")
        at = said_instant(door.at, outing.day, records)
        if at < outing.started:
            raise InputError(f"outing {outing.id} would end before it began", next_step="check --at")
        require_near(outing, at)
        entry = NewEntry("outing_end", outing.id, {"at": time_text(at)})
        records.book.write([entry], why="outing ends")
        return outing_named(records, outing.id)


def show_outing(folder: Path, outing: str | None = None) -> Outing:
    """Return the record of one day; None takes the one that goes on, else the newest."""
    with open_records(folder) as records:
        return chosen_outing(records, outing)


def list_outings(folder: Path) -> list[Outing]:
    """Return every outing, oldest first."""
    with open_records(folder) as records:
        return all_outings(records)


def sail_hours(folder: Path) -> dict[str, float]:
    """Return the hours on each sail: those of the boat file and those of every outing since [h]."""
    with open_records(folder) as records:
        owned = {one.id: one.hours for one in records.files.boat_file.sails}
        used = add_hours(note for outing in all_outings(records) for note in outing.sails)
    return {sail: hours + used.get(sail, 0.0) for sail, hours in owned.items()}


def all_outings(records: Records) -> list[Outing]:
    """Return every outing of an open book, oldest first."""
    return assemble(outing_entries(records), records.zone)


def outing_entries(records: Records) -> list[Entry]:
    """Return the entries that outings are made of, in the order they were written."""
    kinds = (*OUTING_KINDS, "action")
    found = [entry for kind in kinds for entry in records.book.history(kind)]
    return sorted(found, key=lambda entry: entry.id)


def outing_index(records: Records) -> list[Outing]:
    """Return every outing with its start and end only, oldest first; quick after many years."""
    found = [*records.book.history("outing_start"), *records.book.history("outing_end")]
    return assemble(sorted(found, key=lambda entry: entry.id), records.zone)


def outing_named(records: Records, name: str) -> Outing:
    """Return the outing of that id, whole.

    Raises
    ------
    InputError
        There is none; the message names the newest.
    """
    own = [entry for kind in DAY_KINDS for entry in records.book.history(kind, subject=name)]
    goals = [f"{name}/{number}" for number in range(1, MOST_GOALS + 1)]
    own += [entry for goal in goals for entry in records.book.history("goal", subject=goal)]
    own += [*records.book.history("log"), *records.book.history("action")]
    found = assemble(sorted(own, key=lambda entry: entry.id), records.zone)
    if not found:
        known = ", ".join(one.id for one in outing_index(records)[-5:]) or "none yet"
        raise InputError(
            f"no outing {name!r}; the newest: {known}", next_step="use one of these, or start one"
        )
    return found[0]


def chosen_outing(records: Records, name: str | None) -> Outing:
    """Return the outing of that id; without one, the outing that goes on, else the newest.

    Raises
    ------
    InputError
        There is no such outing, or none at all.
    """
    if name is not None:
        return outing_named(records, name)
    outings = outing_index(records)
    if not outings:
        raise InputError("there is no outing yet", next_step="run: cringle outing start")
    chosen = next((one for one in reversed(outings) if one.is_open), outings[-1])
    return outing_named(records, chosen.id)


def crew_note(records: Records, at: datetime, people: Sequence[str] | None) -> CrewNote:
    """Return who is aboard, with their mass; None is everybody of the crew file.

    Raises
    ------
    BookFileError
        Somebody is not in the crew file; all such ids are listed.
    """
    known = {one.id: one for one in records.files.crew_file.people}
    wanted = tuple(known) if people is None else tuple(dict.fromkeys(people))
    mistakes = Collected()
    for person in wanted:
        if person not in known:
            accepted = ", ".join(known)
            mistakes.add(Finding("nobody of that id in crew.toml", found=repr(person), accepted=accepted))
    mistakes.raise_if_any(next_step="add the person to crew.toml, or use an id that is there")
    return CrewNote(at, wanted, sum(known[person].mass_kg for person in wanted))


def said_instant(text: str | None, day: date, records: Records) -> datetime:
    """Return the instant somebody said, in the boat's own time; None is now."""
    return records.book.now() if text is None else instant_of(text, day, records.zone)


def require_near(outing: Outing, at: datetime) -> None:
    """Refuse an instant that is far from its outing.

    Raises
    ------
    InputError
        It is more than half a day before the start or a day and a half after it.
    """
    if not outing.started - EARLIEST_BEFORE_START <= at <= outing.started + LATEST_AFTER_START:
        raise InputError(
            f"{day_and_clock_text(at, outing.zone)} is far from outing {outing.id}, "
            f"which began {day_and_clock_text(outing.started, outing.zone)}",
            next_step="give --outing, or --at with the right date",
        )
