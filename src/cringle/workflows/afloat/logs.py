"""Logs: read them into the book, list them, debrief one."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any, Final

from cringle.book.entries import Entry, NewEntry
from cringle.book.names import LOGS_NAME
from cringle.book.outings import Outing
from cringle.errors import InputError
from cringle.output import report, report_pdf
from cringle.track.debrief.days import SailingDay, chosen_day, day_sentence, days_of, of_day, only_day
from cringle.track.debrief.debrief import Debrief, DebriefOptions, debrief
from cringle.track.debrief.known import Pair, beside, read_noted
from cringle.track.heel.spotted import Spotted, read_spotted
from cringle.track.race.correction import Correction
from cringle.track.race.mixed import refuse_mixed
from cringle.track.reading.chunks import Progress, Source, no_progress
from cringle.track.reading.merge import merge_heel
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.reading.store import StoredLog, list_stored, read_stored, store_log
from cringle.workflows.afloat.corrections_kept import corrections_in_force
from cringle.workflows.afloat.logs_race import RaceWishes, against, race_options, said_or_beside
from cringle.workflows.afloat.logs_told import debrief_options
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.outings.outing import all_outings

SHORTEST_KEY: Final = 6
"""So many characters of a log's key may stand for its name."""


@dataclass(frozen=True)
class DebriefWishes:
    """What a person says about a log besides its name.

    Parameters
    ----------
    options : ReadOptions
        What the log does not say itself: date, zone, renamed columns ...
    heel_csv : Path or None
        A heel record to merge by time.
    heel_offset_s : float
        Added to the times of the heel record. [s]
    heel_targets_deg : mapping
        Point of sail to the heel to keep; goes before what the book says. [deg]
    time_zone : str or None
        IANA name; None takes the book's zone, else UTC.
    boat : str or None
        Name of the boat; None takes the book's.
    race : RaceWishes
        Wind, stream, baseline, and what people felt.
    corrections : tuple of Correction
        What a person corrects besides what the book holds.
    day : date or None
        Local date, of a log that holds several days; None takes the longest.
    prefer : date or None
        Local date that goes before the longest, where the log holds it.
    """

    options: ReadOptions = field(default_factory=ReadOptions)
    heel_csv: Path | None = None
    heel_offset_s: float = 0.0
    heel_targets_deg: Mapping[str, float] = field(default_factory=dict)
    time_zone: str | None = None
    boat: str | None = None
    race: RaceWishes = field(default_factory=RaceWishes)
    corrections: tuple[Correction, ...] = ()
    day: date | None = None
    prefer: date | None = None


@dataclass(frozen=True)
class KeptLog:
    """A log in the book: its key, name, times (UTC), fixes, the outing it belongs to, whether it was new."""

    sha256: str
    name: str
    start: datetime | None
    end: datetime | None
    rows: int
    lines_skipped: Mapping[str, int]
    outing: str | None
    already_there: bool

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "sha256": self.sha256,
            "name": self.name,
            "start": None if self.start is None else self.start.isoformat(),
            "end": None if self.end is None else self.end.isoformat(),
            "rows": self.rows,
            "lines_skipped": dict(self.lines_skipped),
            "outing": self.outing,
            "already_there": self.already_there,
        }


def debrief_log(
    log: Path,
    *,
    book: Path | None = None,
    wishes: DebriefWishes | None = None,
    progress: Progress = no_progress,
) -> Debrief:
    """Return the first debrief of a log; of its longest day, where it holds several and none was asked for.

    Parameters
    ----------
    log : Path
        A file; or, with a book, the name or the beginning of the key of a log kept there.
    book : Path or None
        The book's folder: it gives the boat's name, time zone and heel targets.
    wishes : DebriefWishes, optional
        What a person says besides.
    progress : callable
        Called with bytes done and bytes in all.

    Raises
    ------
    LogError, InputError
        The log cannot be read, has no date or not that day, or is not known; the message says what to do.
    BookError
        The book cannot be read.
    """
    opened = _opened(log, book, wishes or DebriefWishes(), progress)
    return opened.debrief(chosen_day(opened.days, opened.day))


def debrief_days(
    log: Path,
    *,
    book: Path | None = None,
    wishes: DebriefWishes | None = None,
    progress: Progress = no_progress,
) -> list[Debrief]:
    """Return the debrief of each day in a log, the longest first; of the day asked for alone.

    Parameters, errors: as `debrief_log`.
    """
    opened = _opened(log, book, wishes or DebriefWishes(), progress)
    first = chosen_day(opened.days, opened.day)
    others = [] if opened.day is not None else [one for one in opened.days if one is not first]
    return [opened.debrief(one) for one in (first, *others)]


@dataclass(frozen=True)
class _Opened:
    """A log that was read, its days, and what is known of it besides."""

    track: TrackLog
    name: str
    days: tuple[SailingDay, ...]
    day: date | None
    options: DebriefOptions
    corrections: tuple[Correction, ...]

    def debrief(self, one: SailingDay) -> Debrief:
        """Return the debrief of one of its days."""
        track = only_day(self.track, one) if len(self.days) > 1 else self.track
        said = of_day(self.corrections, one, self.days)
        race = None if self.options.race is None else replace(self.options.race, corrections=said)
        found = debrief(track, name=self.name, options=replace(self.options, race=race))
        told = day_sentence(self.days, one)
        days = tuple(each.day for each in self.days)
        return replace(found, day=one.day, days=days, unknown=(*((told,) if told else ()), *found.unknown))


def _opened(log: Path, book: Path | None, wanted: DebriefWishes, progress: Progress) -> _Opened:
    track, name = _read(log, book, wanted, progress)
    refuse_mixed(track.track, name, elsewhere=track.report.elsewhere)
    if wanted.heel_csv is not None:
        track = merge_heel(track, wanted.heel_csv, options=wanted.options, offset_s=wanted.heel_offset_s)
    options = debrief_options(book, wanted.heel_targets_deg, time_zone=wanted.time_zone, boat=wanted.boat)
    race = race_options(book, said_or_beside(wanted.race, log), targets_deg=wanted.heel_targets_deg)
    if wanted.race.against is not None:
        other, _ = _read(wanted.race.against, book, wanted, no_progress)
        theirs = corrections_in_force(book, other.report.sha256)
        race = against(replace(race, corrections=theirs), other, wanted.race.against)
    race = replace(race, spotted=_spotted(wanted.race.spotter_csv, track, options.time_zone))
    said = (*corrections_in_force(book, track.report.sha256), *wanted.corrections)
    days = days_of(track.track, options.time_zone)
    held = wanted.prefer if wanted.prefer in [one.day for one in days] else None
    return _Opened(track, name, days, wanted.day or held, replace(options, race=race), said)


def _spotted(path: Path | None, track: TrackLog, time_zone: str) -> tuple[Spotted, ...]:
    if path is None:
        return ()
    return tuple(read_spotted(path, start=track.track["time"][0], time_zone=time_zone))


def debrief_beside(found: Debrief, noted: Path) -> list[Pair]:
    """Return the manoeuvres found beside those of a list noted by hand (CSV).

    Raises
    ------
    LogError
        The list cannot be read; the message has the line.
    """
    return beside(found, read_noted(noted))


def write_report(found: Debrief, path: Path) -> None:
    """Write the debrief as one HTML page that needs nothing else, whole or not at all."""
    report.write_report(found, path)


def write_report_pdf(found: Debrief, path: Path) -> None:
    """Write the debrief as a PDF, whole or not at all."""
    report_pdf.write_report_pdf(found, path)


def write_reports(found: Sequence[Debrief], path: Path, write: Callable[[Debrief, Path], None]) -> None:
    """Write one report for each day of a log; the days after the first get their date in the name.

    Parameters
    ----------
    found : sequence of Debrief
        From `debrief_days`.
    path : Path
        Of the first.
    write : callable
        `write_report` or `write_report_pdf`.
    """
    for place, one in enumerate(found):
        write(one, path.with_stem(f"{path.stem}-{one.day}") if place else path)


def read_into_book(
    logs: Sequence[Path],
    *,
    book: Path,
    who: str,
    options: ReadOptions | None = None,
    progress: Progress = no_progress,
) -> list[KeptLog]:
    """Keep logs in the book: the original byte for byte, its track beside it, and a line in the history.

    A log is attached to the outing of its day. Keeping it again changes nothing, except that it is attached
    to an outing that was not there before.

    Raises
    ------
    LogError, InputError
        A log cannot be read; the logs before it are kept.
    BookError
        The book cannot be written.
    """
    return [
        _keep(log, book=book, who=who, options=options or ReadOptions(), progress=progress) for log in logs
    ]


def list_logs(book: Path) -> list[KeptLog]:
    """Return the logs kept in a book, earliest first."""
    with open_records(book) as records:
        outings = _outings_by_key(records.book.history("log"))
    return [_kept(stored, outings.get(stored.sha256)) for stored in list_stored(book / LOGS_NAME)]


def _keep(log: Path, *, book: Path, who: str, options: ReadOptions, progress: Progress) -> KeptLog:
    with open_records(book, who=who) as records:
        stored = store_log(log, book / LOGS_NAME, options=options, progress=progress)
        outing = _outing_of(stored, records)
        attached = _outings_by_key(records.book.history("log", subject=stored.sha256))
        if stored.sha256 not in attached or (outing and attached[stored.sha256] != outing):
            records.book.write([_entry(stored, book, outing)], why=f"log {log.name} read")
        return _kept(stored, outing or attached.get(stored.sha256))


def _entry(stored: StoredLog, book: Path, outing: str | None) -> NewEntry:
    report_ = stored.report
    payload = {
        "file": stored.original.relative_to(book).as_posix(),
        "sha256": stored.sha256,
        "name": stored.name,
        "outing": outing,
        "start": None if report_.start is None else report_.start.isoformat(),
        "end": None if report_.end is None else report_.end.isoformat(),
        "rows": report_.rows,
    }
    return NewEntry("log", stored.sha256, payload)


def _kept(stored: StoredLog, outing: str | None) -> KeptLog:
    found = stored.report
    return KeptLog(
        sha256=stored.sha256,
        name=stored.name,
        start=found.start,
        end=found.end,
        rows=found.rows,
        lines_skipped=dict(found.lines_skipped),
        outing=outing,
        already_there=stored.already_there,
    )


def _outings_by_key(entries: Sequence[Entry]) -> dict[str, str | None]:
    """Return the outing each log was last attached to."""
    found: dict[str, str | None] = {}
    for entry in entries:
        outing = entry.payload.get("outing")
        found[entry.key.subject] = None if outing is None else str(outing)
    return found


def _outing_of(stored: StoredLog, records: Records) -> str | None:
    """Return the outing a log belongs to: of its local day, the one that went on while it was recorded."""
    start, end = stored.report.start, stored.report.end
    if start is None or end is None:
        return None
    day = start.astimezone(records.zone).date()
    same_day = [one for one in all_outings(records) if one.day == day]
    during = [one for one in same_day if _overlaps(one, start, end)]
    chosen = during or same_day
    return chosen[0].id if chosen else None


def _overlaps(outing: Outing, start: datetime, end: datetime) -> bool:
    return outing.started <= end and (outing.ended is None or outing.ended >= start)


def _read(log: Path, book: Path | None, wanted: DebriefWishes, progress: Progress) -> tuple[TrackLog, str]:
    """Return a log from a file, or from the book when there is no such file."""
    if log.exists() or book is None:
        return read_log(log, options=wanted.options, progress=progress), log.name
    stored = _stored_named(book, str(log))
    return read_stored(book / LOGS_NAME, stored.sha256), stored.name


def key_of_log(log: Path, book: Path) -> str:
    """Return the hash of a log: of a file, or of the log of that name or key kept in the book.

    Raises
    ------
    InputError, LogError
        There is neither, or the file cannot be read.
    """
    if not log.exists():
        return _stored_named(book, str(log)).sha256
    with Source(log).open() as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _stored_named(book: Path, name: str) -> StoredLog:
    """Return the kept log of that name, or whose key begins so."""
    logs = list_stored(book / LOGS_NAME)
    same = [one for one in logs if name in (one.name, Path(one.name).stem)]
    same = same or [one for one in logs if len(name) >= SHORTEST_KEY and one.sha256.startswith(name)]
    if len(same) == 1:
        return same[0]
    if same:
        keys = ", ".join(one.sha256[:12] for one in same)
        raise InputError(f"{len(same)} logs are called {name!r}", next_step=f"name one by its key: {keys}")
    known = ", ".join(sorted(one.name for one in logs)) or "none yet"
    raise InputError(
        f"{name}: no such file, and no log of that name in the book; it has: {known}",
        next_step="check the name, or run: cringle log list",
    )
