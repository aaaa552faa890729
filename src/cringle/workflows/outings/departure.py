"""The check before leaving the dock: read it, tick it for one outing, print it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.settings.names import known_name
from cringle.settings.work_list import Tick, tick_items
from cringle.workflows.survey import local_now


@dataclass(frozen=True)
class Departure:
    """The check before leaving the dock, for one outing."""

    boat: str
    outing: str
    ticks: tuple[Tick, ...]
    printed: datetime


def departure_check(folder: Path, *, outing: str | None = None, at: datetime | None = None) -> Departure:
    """Return the departure check with its ticks for one outing.

    Without a name it is the outing that goes on, else today's local date.
    """
    files = read_book_files(folder)
    printed = local_now(files, at)
    with Book.open(folder, create=True) as book:
        label = outing or _outing_going_on(book) or printed.date().isoformat()
        ticks = {one.key.subject: (str(one.value), one.who) for one in book.current("departure_tick")}
    found = tick_items(files.survey_file.departure, ticks, label)
    return Departure(files.boat_file.boat.name, label, tuple(found), printed)


def _outing_going_on(book: Book) -> str | None:
    ended = {one.key.subject for one in book.history("outing_end")}
    begun = [one.key.subject for one in book.current("outing_start") if one.key.subject not in ended]
    return begun[-1] if begun else None


def departure_tick(
    folder: Path, ticked: Sequence[str], *, who: str, outing: str | None = None, at: datetime | None = None
) -> Departure:
    """Tick lines of the departure check for one outing and return the check as it stands.

    Raises
    ------
    InputError
        There is no such line.
    """
    now = departure_check(folder, outing=outing, at=at)
    for one in ticked:
        known_name(
            one, [tick.item.id for tick in now.ticks], what="check", next_step="run: cringle survey departure"
        )
    with Book.open(folder, create=True, who=who) as book:
        stands = {one.key.subject: one.id for one in book.current("departure_tick", include_blank=True)}
        fresh = [
            one for one in dict.fromkeys(ticked) if one not in {t.item.id for t in now.ticks if t.ticked}
        ]
        entries = [
            NewEntry("departure_tick", one, {"value": now.outing}, base_id=stands.get(one)) for one in fresh
        ]
        book.write(entries, why=f"departure check, {now.outing}")
    return departure_check(folder, outing=outing, at=at)


def departure_print(
    folder: Path, out: Path, *, outing: str | None = None, at: datetime | None = None
) -> Departure:
    """Write the departure check as a PDF."""
    from cringle.output.work_list_pdf import departure_pdf

    found = departure_check(folder, outing=outing, at=at)
    write_atomically(out, departure_pdf(found.ticks, found.boat, found.outing, found.printed))
    return found


def departure_json(found: Departure) -> dict[str, Any]:
    """Return the departure check as JSON."""
    checks = [
        {
            "id": one.item.id,
            "check": one.item.check,
            "ticked": one.ticked,
            "by": one.by if one.ticked else None,
        }
        for one in found.ticks
    ]
    return {"schema": 1, "boat": found.boat, "outing": found.outing, "checks": checks}
