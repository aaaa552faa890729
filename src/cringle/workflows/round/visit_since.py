"""What the history of a book holds since the visit before: deeds in words, gauge studies, things seen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Final

from cringle.book.entries import Entry
from cringle.book.rows import time_of
from cringle.output.wording import mark_text, signed_text
from cringle.workflows.book_open import Records
from cringle.workflows.books.history import Batch, batches
from cringle.workflows.numbers.entries import SETTING
from cringle.workflows.numbers.gauge_said import GAUGE, GaugeSaid, gauges_said
from cringle.workflows.trials.records import DECISION

MOST_NAMED: Final = 4
"""Controls or screws named in one sentence; the rest are counted."""


@dataclass(frozen=True)
class Deed:
    """Something done: on which local day, in words, by whom."""

    day: date
    words: str
    who: str


@dataclass(frozen=True)
class Since:
    """What happened since the visit before.

    Parameters
    ----------
    before : str or None
        The visit before; None on the first one.
    before_id : int
        The last entry of the history that belongs to what was before; 0 when nothing does.
    today, earlier : tuple of Deed
        On the day of the visit; between the two visits.
    items_done : frozenset of str
        Items of the work list done in that time.
    seen : tuple of str
        What was noted on outings in that time.
    outings : int
        That began in it.
    gauges : tuple of GaugeSaid
        The newest study of each control, whenever it was.
    """

    before: str | None
    before_id: int
    today: tuple[Deed, ...]
    earlier: tuple[Deed, ...]
    items_done: frozenset[str]
    seen: tuple[str, ...]
    outings: int
    gauges: tuple[GaugeSaid, ...]


def since_visit(records: Records, kind: str, name: str) -> Since:
    """Return what the history holds since the visit before one.

    Parameters
    ----------
    records : Records
        The open book.
    kind : str
        Kind of the entries of visits.
    name : str
        The visit; its id is its local date.
    """
    day = date.fromisoformat(name)
    visits = [one for one in records.book.history(kind) if not one.is_blank]
    earlier = [one for one in visits if one.key.subject < name]
    everything = records.book.history()
    midnight = datetime.combine(day, time.min, tzinfo=records.zone)
    before_id = (
        earlier[-1].id if earlier else max((one.id for one in everything if one.at < midnight), default=0)
    )
    first_id = earlier[-1].id if earlier else 0
    fresh = [one for one in everything if one.id > first_id and one.at.astimezone(records.zone).date() <= day]
    deeds = [deed for batch in batches(fresh) for deed in _deeds(records, batch)]
    return Since(
        before=max((one.key.subject for one in earlier), default=None),
        before_id=before_id,
        today=tuple(one for one in deeds if one.day == day),
        earlier=tuple(one for one in deeds if one.day != day),
        items_done=frozenset(_items_done(fresh)),
        seen=tuple(_seen(records, fresh)),
        outings=sum(one.key.kind == "outing_start" and not one.is_blank for one in fresh),
        gauges=tuple(gauges_said(records)),
    )


def _items_done(entries: Sequence[Entry]) -> Iterator[str]:
    newest = {one.key.subject: one for one in entries if one.key.kind == "survey_state"}
    yield from (name for name, one in newest.items() if one.value == "done")


def _seen(records: Records, entries: Sequence[Entry]) -> Iterator[str]:
    boat = records.files.boat_file.boat.name
    for one in entries:
        if one.key.kind == "observation" and one.payload.get("boat") in (None, boat):
            day = time_of(one.payload["at"]).astimezone(records.zone).date()
            yield f"{one.payload['text']} (noted on {day})"


def _deeds(records: Records, batch: Batch) -> Iterator[Deed]:
    day = batch.at.astimezone(records.zone).date()
    for kind, said in TOLD.items():
        entries = [one for one in batch.entries if one.key.kind == kind]
        if entries and (words := said(records, batch, entries)):
            yield Deed(day, words, batch.who)


Teller = Callable[[Records, Batch, Sequence[Entry]], str]


def _work(records: Records, _: Batch, entries: Sequence[Entry]) -> str:
    survey = records.files.survey_file
    said = []
    for one in entries:
        item = survey.item(one.key.subject)
        said.append(f"{one.key.subject if item is None else item.what}: {one.value}")
    return "; ".join(said)


def _scales(records: Records, _: Batch, entries: Sequence[Entry]) -> str:
    names = {one.id: one.name for one in records.files.boat_file.controls}
    return f"Marked up: {_some([names.get(one.key.subject, one.key.subject) for one in entries])}"


def _stages(records: Records, batch: Batch, entries: Sequence[Entry]) -> str:
    if any(one.key.kind == "scale" for one in batch.entries):
        return ""
    names = {one.id: one.name for one in records.files.boat_file.controls}
    return (
        f"Marks: {_some([f'{names.get(one.key.subject, one.key.subject)} {one.value}' for one in entries])}"
    )


def _numbers(_: Records, batch: Batch, entries: Sequence[Entry]) -> str:
    if any(one.key.kind == DECISION for one in batch.entries):
        return ""
    count = f"{len(entries)} number{'' if len(entries) == 1 else 's'} of the table"
    return f"{count}: {batch.why}" if batch.why else count


def _decisions(_: Records, batch: Batch, entries: Sequence[Entry]) -> str:
    said = [_decision(one) for one in entries if one.payload.get("decided") == "accepted"]
    return f"On trials: {'; '.join(said)} ({batch.why})" if said else ""


def _decision(entry: Entry) -> str:
    key, kept = entry.key, entry.payload
    name = str(key.role).replace("_", " ")
    moved = " to ".join(mark_text(float(kept[one])) for one in ("before", "after"))
    return f"{name} {moved} in {key.wind_kn or 0.0:g} kn"


def _turns(_: Records, __: Batch, entries: Sequence[Entry]) -> str:
    told = [f"{_plain(one)} {signed_text(float(one.value))}" for one in entries if one.value is not None]
    return f"Turns from base noted: {_some(told)}"


def _locks(_: Records, __: Batch, entries: Sequence[Entry]) -> str:
    return f"Screws: {_some([f'{_plain(one)} {one.value}' for one in entries])}"


def _base(_: Records, __: Batch, ___: Sequence[Entry]) -> str:
    return "Base tune measured and kept"


def _gauge(records: Records, _: Batch, entries: Sequence[Entry]) -> str:
    names = {one.id: one.name for one in records.files.boat_file.controls}
    return f"Gauge study: {_some([names.get(one.key.subject, one.key.subject) for one in entries])}"


def _plain(entry: Entry) -> str:
    return entry.key.subject.replace("_", " ")


def _some(names: Sequence[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


TOLD: Final[dict[str, Teller]] = {
    "survey_state": _work,
    "scale": _scales,
    "mark_stage": _stages,
    SETTING: _numbers,
    DECISION: _decisions,
    "rig_base": _base,
    "rig_turns": _turns,
    "screw_lock": _locks,
    GAUGE: _gauge,
}
"""Kind of entry to the words for those written in one go; the order in which they are told."""
