"""One day's record, put together from the entries of the history. No database here: entries in, views out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import count
from typing import Final, TypeVar
from zoneinfo import ZoneInfo

from cringle.book.entries import Entry
from cringle.book.outing_notes import (
    KIND_OF,
    Action,
    CrewNote,
    Goal,
    Note,
    Observation,
    RigNote,
    SailNote,
    SeaNote,
    SettingNote,
    WindNote,
    action_of,
    goal_of,
    note_of,
)
from cringle.book.rows import time_of

OUTING_KINDS: Final = ("outing_start", "outing_end", "log", "goal", *KIND_OF.values())
"""Kinds of entries that make up the record of one day (actions live on over several)."""

SomeNote = TypeVar("SomeNote", bound=Note)


@dataclass(frozen=True)
class LogNote:
    """A log of the day: the file as it was recorded, kept in the book."""

    file: str
    sha256: str
    name: str


@dataclass(frozen=True)
class Outing:
    """One day's record.

    Parameters
    ----------
    id : str
        The local date, with a letter from the second outing of a day on: ``2026-05-01``, ``2026-05-01b``.
    day : date
        The local date at the start, in the boat's time zone.
    started, ended : datetime
        UTC; `ended` is None while it goes on.
    place : str
        Where.
    zone : ZoneInfo
        The boat's time zone.
    winds, seas, crews, sails, rigs, settings, observations : tuple
        As they changed, by the instant they are about.
    logs : tuple of LogNote
        Logs of the day.
    goals : tuple of Goal
        At most three.
    actions : tuple of Action
        Opened on this day, carried into it, or closed on it.
    """

    id: str
    day: date
    started: datetime
    ended: datetime | None
    place: str
    zone: ZoneInfo
    winds: tuple[WindNote, ...] = ()
    seas: tuple[SeaNote, ...] = ()
    crews: tuple[CrewNote, ...] = ()
    sails: tuple[SailNote, ...] = ()
    rigs: tuple[RigNote, ...] = ()
    settings: tuple[SettingNote, ...] = ()
    observations: tuple[Observation, ...] = ()
    logs: tuple[LogNote, ...] = ()
    goals: tuple[Goal, ...] = ()
    actions: tuple[Action, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether it still goes on."""
        return self.ended is None

    @property
    def hours_by_sail(self) -> dict[str, float]:
        """Hours each sail was used on this day [h]."""
        return add_hours(self.sails)


def assemble(entries: Sequence[Entry], zone: ZoneInfo) -> list[Outing]:
    """Return the outings that entries tell of, oldest first.

    Parameters
    ----------
    entries : sequence of Entry
        In the order they were written; kinds that have nothing to do with outings are left out. Of a goal, an
        action and a log the newest entry counts; an outing restored away (emptied) is not shown.
    zone : ZoneInfo
        The boat's time zone: it gives the day of an outing.
    """
    by_outing: dict[str, list[Entry]] = {}
    last_log = {entry.key.subject: entry.id for entry in entries if entry.key.kind == "log"}
    starts: dict[str, Entry] = {}
    for entry in entries:
        if entry.key.kind == "outing_start":
            starts[entry.key.subject] = entry
        elif entry.key.kind in OUTING_KINDS and last_log.get(entry.key.subject, entry.id) == entry.id:
            by_outing.setdefault(_outing_of(entry), []).append(entry)
    actions = newest_actions(entries)
    shown = [entry for entry in starts.values() if not entry.is_blank]
    outings = [_outing(start, by_outing.get(start.key.subject, []), zone) for start in shown]
    return [_with_actions(one, actions) for one in sorted(outings, key=lambda one: (one.started, one.id))]


def _outing_of(entry: Entry) -> str:
    if entry.key.kind == "log":
        return str(entry.payload.get("outing") or "")
    return entry.key.subject.split("/")[0]


def _outing(start: Entry, entries: Sequence[Entry], zone: ZoneInfo) -> Outing:
    notes = [note_of(entry) for entry in entries if entry.key.kind in KIND_OF.values()]
    ends = [time_of(entry.payload["at"]) for entry in entries if entry.key.kind == "outing_end"]
    goals = {entry.key.subject: entry for entry in entries if entry.key.kind == "goal"}
    started = time_of(start.payload["at"])
    return Outing(
        id=start.key.subject,
        day=started.astimezone(zone).date(),
        started=started,
        ended=ends[-1] if ends else None,
        place=str(start.payload.get("place") or ""),
        zone=zone,
        winds=_of_kind(notes, WindNote),
        seas=_of_kind(notes, SeaNote),
        crews=_of_kind(notes, CrewNote),
        sails=_of_kind(notes, SailNote),
        rigs=_of_kind(notes, RigNote),
        settings=_of_kind(notes, SettingNote),
        observations=_of_kind(notes, Observation),
        logs=tuple(_log(entry) for entry in entries if entry.key.kind == "log"),
        goals=tuple(goal_of(goals[name]) for name in sorted(goals) if not goals[name].is_blank),
    )


def _of_kind(notes: Iterable[Note], wanted: type[SomeNote]) -> tuple[SomeNote, ...]:
    found = [note for note in notes if isinstance(note, wanted)]
    return tuple(sorted(found, key=lambda note: note.at))


def _log(entry: Entry) -> LogNote:
    kept = entry.payload
    return LogNote(
        str(kept.get("file", "")), str(kept.get("sha256", "")), str(kept.get("name", entry.key.subject))
    )


def newest_actions(entries: Iterable[Entry]) -> list[Action]:
    """Return the actions that entries tell of, each as its newest entry says, oldest first."""
    newest: dict[str, Entry] = {}
    for entry in entries:
        if entry.key.kind == "action":
            newest[entry.key.subject] = entry
    return [action_of(entry) for entry in newest.values() if not entry.is_blank]


def _with_actions(outing: Outing, actions: Iterable[Action]) -> Outing:
    return replace(outing, actions=tuple(one for one in actions if _concerns(one, outing.id)))


def _concerns(action: Action, outing: str) -> bool:
    """Whether an action was opened by this outing and not closed before it (ids sort by day)."""
    return action.opened_in <= outing and (action.closed_in is None or outing <= action.closed_in)


def open_actions(entries: Iterable[Entry]) -> list[Action]:
    """Return the actions that are still open."""
    return [one for one in newest_actions(entries) if one.state == "open"]


def settings_in_force(outing: Outing, at: datetime) -> dict[str, SettingNote]:
    """Return which number each role had at an instant: the last one noted not after it.

    A role that had no number by then is left out.
    """
    found: dict[str, SettingNote] = {}
    for note in outing.settings:
        if note.at <= at:
            found[note.role] = note
    return found


def wind_at(outing: Outing, at: datetime) -> WindNote | None:
    """Return the last wind noted not after an instant."""
    return next((note for note in reversed(outing.winds) if note.at <= at), None)


def add_hours(notes: Iterable[SailNote]) -> dict[str, float]:
    """Return the hours of each sail added up [h]."""
    found: dict[str, float] = {}
    for note in notes:
        found[note.sail] = found.get(note.sail, 0.0) + note.hours
    return found


def outing_id(day: date, taken: Iterable[str]) -> str:
    """Return the name of the next outing of a day: its date, then with b, c ... z, then with a number."""
    names = set(taken)
    if day.isoformat() not in names:
        return day.isoformat()
    letters = (f"{day.isoformat()}{letter}" for letter in "bcdefghijklmnopqrstuvwxyz")
    numbers = (f"{day.isoformat()}z{number}" for number in count(2))
    return next(name for source in (letters, numbers) for name in source if name not in names)
