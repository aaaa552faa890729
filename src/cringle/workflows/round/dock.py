"""The dock, half an hour before: tonight's whole answer in the order in which a crew acts on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from cringle.boat.read import read_book_files
from cringle.book.entries import Entry
from cringle.book.store import Book
from cringle.settings.answer import answer
from cringle.settings.moves import moves_gear
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import Tonight, tonight_json
from cringle.workflows.book_then import BookThen
from cringle.workflows.numbers.entries import SETTING
from cringle.workflows.numbers.tonight import boat_of, tonight_records
from cringle.workflows.outings.departure import Departure, departure_check
from cringle.workflows.outings.frozen import fixed_answer
from cringle.workflows.outings.moments import RULE_41, Clock, Moment, moment, utc_now
from cringle.workflows.round.cues_row import with_cues
from cringle.workflows.speed.tonight import silent, tonight_with_model

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Changed:
    """One number that is another one than on the last outing: from what to what, by whom and why."""

    role: str
    name: str
    before: float
    now: float
    who: str
    why: str


@dataclass(frozen=True)
class Dock:
    """What the crew reads at the dock.

    Parameters
    ----------
    tonight : Tonight
        The numbers and everything with them.
    changed : tuple of Changed
        Numbers that changed since the last outing.
    ready : Departure
        The check before leaving the dock.
    moment : Moment
        When the rig may change until; whether the content is fixed.
    last : str or None
        The last outing that `changed` is measured from.
    notes : tuple of str
        What was assumed, and the rule when racing.
    """

    tonight: Tonight
    changed: tuple[Changed, ...]
    ready: Departure
    moment: Moment
    last: str | None
    notes: tuple[str, ...] = ()

    @property
    def zone(self) -> ZoneInfo:
        """The boat's time zone."""
        return self.moment.zone


def dock(folder: Path, request: TonightRequest, *, tell: Tell = silent, clock: Clock = utc_now) -> Dock:
    """Return what the crew reads at the dock; while racing what stood at the preparatory signal, unchanged.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        Wind, sea, sails and people; not looked at while racing.
    tell : callable
        Told when the speed model must compute first.
    clock : callable
        Gives the present instant.

    Raises
    ------
    InputError
        There is no such book, or the request cannot be answered.
    """
    now = moment(folder, clock=clock)
    ready = departure_check(folder, at=now.now)
    if now.is_locked:
        with Book.open(folder) as book:
            fixed = fixed_answer(folder, book, now.evening)
        return Dock(replace(fixed, moves=()), (), ready, now, None, (RULE_41,))
    found = with_cues(folder, tonight_with_model(folder, request, tell=tell))
    last, changed = changes_since_last(folder, request, found)
    return Dock(found, changed, ready, now, last)


def changes_since_last(
    folder: Path, request: TonightRequest, found: Tonight
) -> tuple[str | None, tuple[Changed, ...]]:
    """Return the last outing that ended, and which of tonight's numbers were others then."""
    files = read_book_files(folder)
    with Book.open(folder) as book:
        ends = book.history("outing_end")
        if not ends:
            return None, ()
        then_id = ends[-1].id
        written = [one for one in book.history(SETTING, sail_set=found.sail_set) if one.id > then_id]
        if not written:
            return ends[-1].key.subject, ()
        records = tonight_records(BookThen(book, then_id), found.sail_set)
    then = answer(boat_of(files), records, request)
    return ends[-1].key.subject, tuple(_changed(then, found, written))


def _changed(then: Tonight, now: Tonight, written: list[Entry]) -> list[Changed]:
    gear = moves_gear(now.numbers)
    found = []
    for one in (number for number in now.numbers.numbers if number.gear == gear):
        before = then.numbers.find(one.gear, one.role)
        by = next((entry for entry in reversed(written) if entry.key.role == one.role), None)
        if before is not None and by is not None and before.value != one.value:
            name = now.scales[one.role].name
            found.append(Changed(one.role, name, before.value, one.value, by.who, by.why))
    return found


def rig_until(found: Dock) -> datetime | None:
    """Return until when the rig may change between races, UTC; None when nobody has said."""
    return None if found.moment.is_locked else found.moment.signal


def dock_json(found: Dock) -> dict[str, Any]:
    """Return the dock page as plain values: tonight, and what the dock adds."""
    until = rig_until(found)
    changed = [
        {"role": one.role, "before": one.before, "now": one.now, "who": one.who, "why": one.why}
        for one in found.changed
    ]
    return {
        **tonight_json(found.tonight),
        "racing": found.moment.is_locked,
        "rig_until_utc": None if until is None else until.isoformat(),
        "minutes_left": found.moment.minutes_left,
        "changed_since": found.last,
        "changed": changed,
        "ready": [{"check": one.item.check, "ticked": one.ticked} for one in found.ready.ticks],
        "notes": list(found.notes),
    }
