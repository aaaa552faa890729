"""A coach's visit to a boat: what the coach said, kept by the day, and the whole report from the book.

A visit is one local day. What is said on it grows through the day; everything the history holds since the
visit before belongs to the report. Nothing is invented: where the book is silent, the report says what to
enter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import date, datetime
from pathlib import Path
from typing import Final

from pydantic import Field

from cringle.boat.base import FileModel
from cringle.boat.toml_text import parse, read_toml
from cringle.book.entries import Entry, NewEntry
from cringle.book.outing_notes import require_text
from cringle.errors import InputError
from cringle.settings.table import DEFAULT_SEA
from cringle.settings.winds import height_ratio
from cringle.settings.work_list import RankedItem, WorkList
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.marks import MarkRow, marks_shown
from cringle.workflows.outings.goals import carried_actions
from cringle.workflows.outings.moments import Clock, require_unlocked, utc_now
from cringle.workflows.outings.outing import all_outings
from cringle.workflows.round.visit_photos import Photo, keep_photos, kept_photos
from cringle.workflows.round.visit_since import Since, since_visit
from cringle.workflows.speed.worth import Improves, improves
from cringle.workflows.survey import survey_shown

VISIT: Final = "visit"
MOST_SAID: Final = 12
"""Sentences of one kind on one visit; more than that no owner reads."""

LONGEST_SAID: Final = 240
"""Letters of one sentence."""


@dataclass(frozen=True)
class Said:
    """What the coach says on a visit, each a sentence: found, done today, next."""

    found: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    next: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing is said."""
        return not (self.found or self.done or self.next)


class PhotoInFile(FileModel):
    """One photo of a visit file: its path, beside the file, and what it shows."""

    file: str = Field(min_length=1)
    caption: str = ""


class VisitFile(FileModel):
    """All of a visit file."""

    found: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    next: tuple[str, ...] = ()
    photos: tuple[PhotoInFile, ...] = ()


@dataclass(frozen=True)
class VisitAsked:
    """What a report is about: the day (None the newest), the wind to price things in, and its sea.

    Without a wind the last one noted on an outing is taken.
    """

    visit: str | None = None
    wind_kn: float | None = None
    sea: str | None = None


@dataclass(frozen=True)
class MarkStage:
    """One control: the stage of its marks before and now (None: nobody recorded one), and what to do."""

    control: str
    name: str
    before: str | None
    now: str | None
    to: str | None
    advice: str

    @property
    def is_changed(self) -> bool:
        """Whether the stage is another one than before."""
        return self.before != self.now


@dataclass(frozen=True)
class VisitReport:
    """The whole report for the owner.

    Parameters
    ----------
    boat : str
        Name of the boat.
    day : date
        Of the visit.
    made : datetime
        When the report was made, boat's time.
    said : Said
        What the coach said.
    since : Since
        What the history holds since the visit before.
    work : WorkList
        What is next, ranked, what the class forbids, and what is behind.
    currency : str
        Of its costs.
    actions : tuple of str
        Actions still open from outings.
    improves : tuple of Improves
        What the speed model says some of it is worth; empty where it says nothing.
    priced_in : tuple of (float, str) or None
        Wind [kn] at the table's height and sea of `improves`; None when no wind is known.
    marks : tuple of MarkStage
        Every control.
    photos : tuple of Photo
        Kept in the book.
    notes : tuple of str
        What is missing, and what to enter.
    """

    boat: str
    day: date
    made: datetime
    said: Said
    since: Since
    work: WorkList
    currency: str
    actions: tuple[str, ...]
    improves: tuple[Improves, ...]
    priced_in: tuple[float, str] | None
    marks: tuple[MarkStage, ...]
    photos: tuple[Photo, ...]
    notes: tuple[str, ...]

    @property
    def done_cost(self) -> float:
        """What the items done since the visit before cost, where it is known."""
        return sum(one.item.cost or 0.0 for one in self._done_items())

    @property
    def done_hours(self) -> float:
        """Hours that went into them, where known [h]."""
        return sum(one.item.hours or 0.0 for one in self._done_items())

    def _done_items(self) -> list[RankedItem]:
        return [one for one in self.work.finished if one.item.id in self.since.items_done]

    def worth_of(self, item: str) -> Improves | None:
        """Return what the model says an item of the work list is worth, None where it says nothing."""
        return next((one for one in self.improves if item in one.items), None)


def read_visit_file(path: Path) -> tuple[Said, tuple[tuple[Path, str], ...]]:
    """Return what a visit file says, and its photos with captions; paths are beside the file.

    Raises
    ------
    InputError
        There is no such file.
    BookFileError
        A mistake, with its line and field.
    """
    if not path.is_file():
        raise InputError(f"{path}: no such file", next_step="give the path of the visit file")
    told = parse(read_toml(path), VisitFile)
    photos = tuple((path.parent / one.file, one.caption) for one in told.photos)
    return Said(told.found, told.done, told.next), photos


def note_visit(
    folder: Path,
    said: Said,
    *,
    photos: Sequence[tuple[Path, str]] = (),
    who: str,
    day: date | None = None,
    clock: Clock = utc_now,
) -> str:
    """Keep what the coach says on a visit, added to what was said that day; the same twice is once.

    Parameters
    ----------
    folder : Path
        The book.
    said : Said
        Sentences.
    photos : sequence of (Path, str)
        Files, each with what it shows; copied into the book byte for byte.
    who : str
        The coach.
    day : date or None
        Local day of the visit; today when left out.
    clock : callable
        Gives the present instant.

    Returns
    -------
    str
        Id of the visit: its local date.

    Raises
    ------
    InputError
        Nothing is said, a sentence is too long or there are too many, a day to come, or a photo that
        cannot be used.
    """
    if said.is_empty and not photos:
        raise InputError(
            "nothing was said of the visit", next_step="give --found, --done, --next, --photo or --file"
        )
    with open_records(folder, who=who) as records:
        today = clock().astimezone(records.zone).date()
        if day is not None and day > today:
            raise InputError(f"{day} is still to come", next_step="give the day of the visit, or none")
        name = (day or today).isoformat()
        stands = records.book.one(VISIT, name)
        whole = _together(_said_of(stands), said)
        kept = keep_photos(records, name, photos)
        entry = NewEntry(VISIT, name, {"value": name, **_lists(whole)}, base_id=stands.id if stands else None)
        fresh = [] if stands is not None and dict(stands.payload) == dict(entry.payload) else [entry]
        records.book.write([*fresh, *kept], why=f"visit {name}")
    return name


def _lists(said: Said) -> dict[str, list[str]]:
    return {name: list(value) for name, value in asdict(said).items()}


def _said_of(entry: Entry | None) -> Said:
    kept = {} if entry is None else entry.payload
    return Said(**{one.name: tuple(kept.get(one.name, ())) for one in fields(Said)})


def _together(before: Said, more: Said) -> Said:
    return Said(
        **{
            one.name: _checked(one.name, (*getattr(before, one.name), *getattr(more, one.name)))
            for one in fields(Said)
        }
    )


def _checked(what: str, sentences: Sequence[str]) -> tuple[str, ...]:
    found = tuple(dict.fromkeys(" ".join(one.split()) for one in sentences))
    for one in found:
        require_text(what, one)
        if len(one) > LONGEST_SAID:
            raise InputError(
                f"{what}: a sentence of {len(one)} letters", next_step=f"say it in {LONGEST_SAID}, or in two"
            )
    if len(found) > MOST_SAID:
        raise InputError(
            f"{what}: {len(found)} sentences on one visit", next_step=f"{MOST_SAID} are as many as are read"
        )
    return found


def visit_report(
    folder: Path, asked: VisitAsked | None = None, *, who: str = "coach", clock: Clock = utc_now
) -> VisitReport:
    """Return the report of a visit from what the coach said and everything the book holds since the last.

    Parameters
    ----------
    folder : Path
        The book.
    asked : VisitAsked, optional
        Which visit, and the wind to price things in.
    who : str
        Who asks.
    clock : callable
        Gives the present instant.

    Raises
    ------
    RuleError
        They are racing.
    InputError
        There is no such visit.
    """
    wanted = asked or VisitAsked()
    require_unlocked(folder, who=who, clock=clock)
    shown, rows = survey_shown(folder), marks_shown(folder)
    with open_records(folder, who=who) as records:
        now = clock().astimezone(records.zone)
        name, said = _chosen(records, wanted.visit, now.date())
        since = since_visit(records, VISIT, name)
        marks = _marks(records, rows, since.before_id)
        photos = kept_photos(records, name)
        priced_in = _priced_in(records, wanted)
    found = VisitReport(
        boat=shown.boat,
        day=date.fromisoformat(name),
        made=now,
        said=said,
        since=since,
        work=shown.work,
        currency=shown.currency,
        actions=tuple(f"{one.route}: {one.text}" for one in carried_actions(folder)),
        improves=() if priced_in is None else improves(folder, *priced_in, items=_open_items(shown.work)),
        priced_in=priced_in,
        marks=marks,
        photos=photos,
        notes=(),
    )
    return replace(found, notes=tuple(_notes(found)))


def _chosen(records: Records, name: str | None, today: date) -> tuple[str, Said]:
    """Return a visit and what was said on it; without a name today's or the newest, else an empty one."""
    kept = {one.key.subject: one for one in records.book.current(VISIT)}
    if name is None:
        name = max(kept, default=today.isoformat())
    elif name not in kept:
        known = ", ".join(sorted(kept)[-5:]) or "none yet"
        raise InputError(f"no visit {name!r}; visits: {known}", next_step="note one: cringle visit --found …")
    return name, _said_of(kept.get(name))


def _marks(records: Records, rows: Sequence[MarkRow], before_id: int) -> tuple[MarkStage, ...]:
    before = {one.key.subject: str(one.value) for one in records.book.as_of(before_id, "mark_stage")}
    return tuple(
        MarkStage(
            one.control.id,
            one.control.name,
            before.get(one.control.id),
            one.stage,
            one.advice.to,
            one.advice.words,
        )
        for one in rows
    )


def _priced_in(records: Records, asked: VisitAsked) -> tuple[float, str] | None:
    """Return the wind asked for, else the last one noted, at the table's height, and its sea."""
    days = [one for one in all_outings(records) if one.winds]
    sea = asked.sea or (days[-1].seas[-1].sea if days and days[-1].seas else DEFAULT_SEA)
    if asked.wind_kn is not None:
        return asked.wind_kn, sea
    if not days:
        return None
    last = days[-1].winds[-1]
    return last.wind_kn * height_ratio(last.height_m, records.files.boat_file.boat.wind_height_m), sea


def _open_items(work: WorkList) -> dict[str, str]:
    """Return the open items that say what they change: id to effect."""
    return {one.item.id: one.item.effect for one in work.ranked if one.item.effect is not None}


def _notes(found: VisitReport) -> list[str]:
    said, notes = found.said, []
    if not said.found:
        notes.append("What was found was not entered: cringle visit --found SENTENCE.")
    if not said.done and not found.since.today:
        notes.append("What was done today was not entered: cringle visit --done SENTENCE.")
    if found.priced_in is None:
        notes.append("No wind is known, so nothing is priced: cringle visit --wind KNOTS.")
    if not found.work.ranked and not found.work.finished:
        notes.append("The work list is empty: cringle survey add --starter.")
    if not found.since.gauges:
        notes.append("No gauge study yet: cringle settings gauge CONTROL readings.csv.")
    if not found.photos:
        notes.append("No photo was given: cringle visit --photo FILE.")
    return notes
