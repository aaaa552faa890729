"""Correcting what was found in a log: a wrong tack, a rounding, a start; everything after follows it.

What a person says (`Asked`) means a detection of the debrief as it stands; it is looked up, tried, and only
what fits is kept, keyed by the hash of the log.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.track.debrief.correct import NO_WIND, correction_words
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.race import Race
from cringle.track.race.correction import KINDS, Correction
from cringle.workflows.afloat.corrections_kept import (
    KeptCorrection,
    keep_corrections,
    kept_corrections,
    undo_corrections,
)
from cringle.workflows.afloat.logs import DebriefWishes, debrief_log, key_of_log

KIND_OF: Final = {kind: what for what, kinds in KINDS.items() for kind in kinds}
"""``windward`` is a rounding, ``up`` a leg."""

SAID: Final = ("tack", "gybe", "recall", "finish", *KIND_OF, "rounding", "leg")
"""What may be named before the ``@``."""

FORM: Final = re.compile(r"(?P<name>[a-z]+)@(?P<at>[^=]+)(?:=(?P<to>.+))?")
NUMBERED: Final = re.compile(r"(?P<number>\d+)=(?P<to>.+)")


@dataclass(frozen=True)
class Asked:
    """One correction as a person says it; times are the boat's local clock, or ISO 8601.

    Parameters
    ----------
    action : str
        ``add``, ``remove``, ``move`` or ``rename``.
    what : str
        ``tack``, ``gybe``, ``start``, ``finish``, ``rounding``, ``leg``, ``recall``, ``manoeuvre`` (with
        `number`) or ``leg end`` (with `number`).
    at : str or None
        Time of the detection meant; of a start or finish that is moved it may be left out: then the one
        nearest to `to` is meant.
    to : str or None
        Where it is moved to; the end of an added leg; the start that counted after a recall.
    number : int or None
        Of the manoeuvre or leg in the debrief's list, from 1.
    kind : str or None
        Mark of a rounding, kind of an added leg.
    """

    action: str
    what: str
    at: str | None = None
    to: str | None = None
    number: int | None = None
    kind: str | None = None


@dataclass(frozen=True)
class LogCorrections:
    """The corrections of a log, undone ones too, in the order they were made; and the boat's time zone."""

    sha256: str
    time_zone: str
    kept: tuple[KeptCorrection, ...]

    def words(self, one: KeptCorrection) -> str:
        """Return a correction as a person would say it, in the boat's time."""
        return correction_words(one.correction, self.time_zone)

    def to_json(self) -> dict[str, Any]:
        """Return them as plain values."""
        return {
            "schema": 1,
            "sha256": self.sha256,
            "time_zone": self.time_zone,
            "corrections": [{**one.to_json(), "words": self.words(one)} for one in self.kept],
        }


def asked_of(action: str, text: str) -> Asked:
    """Return what a person typed: ``tack@18:12:30``, ``windward@18:20:00=18:20:10``, ``up@18:05=18:20``.

    Parameters
    ----------
    action : str
        ``add``, ``remove``, ``move`` or ``rename``.
    text : str
        What, ``@``, when; and after ``=`` the second time.

    Raises
    ------
    InputError
        It is not of that form.
    """
    found = FORM.fullmatch(text.strip())
    if found is None or found["name"] not in SAID:
        raise InputError(
            f"{text!r} names no detection", next_step=f"say WHAT@TIME, WHAT one of: {', '.join(SAID)}"
        )
    name = found["name"]
    kind = name if name in KIND_OF and action in {"add", "rename"} else None
    return Asked(action, KIND_OF.get(name, name), at=found["at"], to=found["to"], kind=kind)


def leg_end_of(text: str) -> Asked:
    """Return another end of a leg as a person typed it: ``2=18:20:10``.

    Raises
    ------
    InputError
        It is not of that form.
    """
    found = NUMBERED.fullmatch(text.strip())
    if found is None:
        raise InputError(f"{text!r} is no end of a leg", next_step="say NUMBER=TIME, as in 2=18:20:10")
    return Asked("move", "leg end", to=found["to"], number=int(found["number"]))


def corrections_of(book: Path, log: Path) -> LogCorrections:
    """Return the corrections of a log in the order they were made, undone ones too.

    Parameters
    ----------
    book : Path
        The book's folder.
    log : Path
        A file, or name or key of a log kept in the book.

    Raises
    ------
    InputError
        There is no such log.
    """
    sha256 = key_of_log(log, book)
    zone = read_book_files(book).boat_file.boat.time_zone
    return LogCorrections(sha256, zone, tuple(kept_corrections(book, sha256)))


def correct_log(
    book: Path,
    log: Path,
    asked: Sequence[Asked],
    *,
    who: str,
    why: str,
    wishes: DebriefWishes | None = None,
) -> list[KeptCorrection]:
    """Correct detections of a log, all that is asked or nothing; the next debrief and season follow.

    Parameters
    ----------
    book : Path
        The book's folder.
    log : Path
        A file, or name or key of a log kept in the book.
    asked : sequence of Asked
        What a person says; all are looked up in the debrief as it stands.
    who, why : str
        Kept with each.
    wishes : DebriefWishes, optional
        What the log does not say itself.

    Raises
    ------
    InputError
        A correction means nothing that was found, or does not fit; nothing is kept then.
    ConflictError
        Somebody else corrected the same log at the same moment.
    """
    wanted = wishes or DebriefWishes()
    found = debrief_log(log, book=book, wishes=wanted)
    said = tuple(_correction(one, found) for one in asked)
    tried = debrief_log(log, book=book, wishes=replace(wanted, corrections=said))
    for missed in tried.missed:
        if missed.correction in said:
            raise InputError(missed.why, next_step="compare with the list of: cringle log debrief")
    return keep_corrections(book, found.log.sha256, said, who=who, why=why)


def undo_in_log(book: Path, log: Path, numbers: Sequence[int], *, who: str, why: str) -> list[KeptCorrection]:
    """Take corrections back by their numbers; what was found counts again.

    Parameters
    ----------
    book, log
        As `correct_log`.
    numbers : sequence of int
        From the list of corrections.
    who, why : str
        Kept with each.

    Raises
    ------
    InputError
        No such correction counts.
    """
    return undo_corrections(book, key_of_log(log, book), numbers, who=who, why=why)


def _correction(asked: Asked, found: Debrief) -> Correction:
    """Return what is asked with its detection looked up."""
    if asked.what == "manoeuvre":
        return _of_manoeuvre(asked, found)
    if asked.what == "leg end":
        return _of_leg_end(asked, _race(found), _instant(asked.to, found))
    to = None if asked.to is None else _instant(asked.to, found)
    if asked.at is not None:
        return Correction(asked.what, asked.action, _instant(asked.at, found), to, asked.kind)
    structure = _race(found).structure
    events = {"start": structure.starts, "finish": structure.finishes}.get(asked.what, ())
    if to is None or not events:
        raise InputError(
            f"no {asked.what} was found in this log",
            next_step="add a leg, or a finish: cringle log correct --help",
        )
    nearest = min(events, key=lambda one: abs(one.at - to))
    return Correction(asked.what, asked.action, nearest.at, to)


def _race(found: Debrief) -> Race:
    if found.race is None:
        raise InputError(NO_WIND, next_step="give the wind, or correct a log with a race in it")
    return found.race


def _of_manoeuvre(asked: Asked, found: Debrief) -> Correction:
    there = found.manoeuvres or ()
    number = asked.number or 0
    if not 1 <= number <= len(there):
        raise InputError(
            f"no manoeuvre {number}; the debrief lists {len(there)}", next_step="take its number from there"
        )
    meant = there[number - 1]
    to = None if asked.to is None else _instant(asked.to, found)
    return Correction(meant.kind, asked.action, meant.at, to)


def _of_leg_end(asked: Asked, race: Race, to: datetime) -> Correction:
    """Return the rounding or finish at the end of a leg, moved."""
    number = asked.number or 0
    if not 1 <= number <= len(race.legs):
        raise InputError(
            f"no leg {number}; the debrief lists {len(race.legs)}", next_step="take its number from there"
        )
    leg = race.legs[number - 1].leg
    if leg.mark != "finish":
        return Correction("rounding", "move", leg.end_at, to)
    if leg.race in race.structure.abandoned:
        return Correction("finish", "add", to)
    return Correction("finish", "move", leg.end_at, to)


def _instant(text: str | None, found: Debrief) -> datetime:
    """Return a time of the local clock, or in ISO 8601, as an instant inside the log.

    Raises
    ------
    InputError
        It is no time, or not one of this log.
    """
    zone = ZoneInfo(found.time_zone)
    try:
        at = _clock_time(str(text).strip(), found, zone).astimezone(UTC)
    except ValueError as error:
        raise InputError(
            f"{text!r} is no time",
            next_step="give 18:05:00 of the boat's clock, or 2026-06-17T17:05:00Z",
        ) from error
    if not found.start - timedelta(seconds=1) <= at <= found.end + timedelta(seconds=1):
        begin, end = (one.astimezone(zone).strftime("%H:%M:%S") for one in (found.start, found.end))
        raise InputError(
            f"{text} is outside the log, which goes from {begin} to {end} ({found.time_zone})",
            next_step="give a time in it",
        )
    return at


def _clock_time(text: str, found: Debrief, zone: ZoneInfo) -> datetime:
    if "T" in text or " " in text:
        at = datetime.fromisoformat(text)
        return at if at.tzinfo else at.replace(tzinfo=zone)
    clock = time.fromisoformat(text)
    first, last = (one.astimezone(zone).date() for one in (found.start, found.end))
    days = [first + timedelta(days=one) for one in range((last - first).days + 1)]
    instants = [datetime.combine(day, clock, zone) for day in days]
    return next((one for one in instants if found.start <= one <= found.end), instants[0])
