"""The report of a visit as pages for the owner: the same words in the terminal, on paper and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any, Final

from cringle.boat.write import write_atomically
from cringle.errors import InputError
from cringle.output.sheet import Section, Sheet
from cringle.output.visit_pdf import Pages, Picture, visit_pdf
from cringle.output.wording import mark_text
from cringle.output.work_list_pdf import CAUTIONS
from cringle.settings.work_list import RankedItem
from cringle.workflows.round.visit import MarkStage, VisitReport
from cringle.workflows.round.visit_since import Deed
from cringle.workflows.speed.worth import Improves

SCREEN_ROWS: Final = 12
"""Rows and sentences of one section in the terminal."""

RACING: Final = "Nothing of this is for the time after the preparatory signal (RRS 41, 2025-2028)."
"""Number and edition from memory."""


def visit_pages(found: VisitReport, most: int) -> Pages:
    """Return the report with at most so many rows and sentences a section, and the annex with all of them."""
    whole = _sections(found)
    cut = tuple(_cut(one, most) for one in whole)
    annex = tuple(one for one, short in zip(whole, cut, strict=True) if one != short)
    under = f"{found.day} · " + (
        "first visit" if found.since.before is None else f"the visit before was on {found.since.before}"
    )
    body = Sheet(f"Visit report, {found.boat}", under, cut, (*CAUTIONS, RACING))
    return Pages(body, annex)


def _cut(one: Section, most: int) -> Section:
    more = max(len(one.lines) - most, 0) + max(len(one.rows) - most, 0)
    if not more:
        return one
    lines = (*one.lines[:most], f"And {more} more in the annex of the PDF.")
    return replace(one, lines=lines, rows=one.rows[:most])


def _sections(found: VisitReport) -> tuple[Section, ...]:
    marks = [one for one in found.marks if one.is_changed or one.to is not None]
    return (
        Section("Found", (*found.said.found, *found.since.seen)),
        Section("Done today", (*found.said.done, *_deeds(found.since.today))),
        Section("Done before today, since the visit before", tuple(_earlier(found))),
        Section("Next, by worth", *_next(found), widths=(1, 8, 4, 3, 10)),
        Section("Cost", tuple(_cost(found))),
        Section("What it should improve", *_improves(found), widths=(9, 3, 4, 8)),
        Section("Marks", *_marks(found.marks, marks), widths=(5, 3, 3, 10)),
        Section("Can the crew set it? Gauge study", tuple(_gauges(found))),
        Section("Still open from outings", found.actions),
        Section("The class forbids it: not advice", tuple(_forbidden(found.work.forbidden))),
        Section("Photos, in the annex", tuple(_photos(found))),
        Section("Not entered", found.notes),
    )


def _photos(found: VisitReport) -> Iterator[str]:
    for place, one in enumerate(found.photos, start=1):
        yield f"{place}. {one.caption}"


def _deeds(deeds: Sequence[Deed]) -> Iterator[str]:
    for one in deeds:
        yield f"{one.words} ({one.who})"


def _earlier(found: VisitReport) -> Iterator[str]:
    if found.since.outings:
        yield f"{found.since.outings} outing{'' if found.since.outings == 1 else 's'} in that time"
    for one in found.since.earlier:
        yield f"{one.day}: {one.words} ({one.who})"


Table = tuple[tuple[str, ...], tuple[str, ...], tuple[tuple[str, ...], ...]]


def _next(found: VisitReport) -> Table:
    heads = ("", "what", "takes", "s a mile", "why")
    rows = tuple(_item_row(one, found) for one in found.work.ranked)
    return found.said.next, heads, rows


def _item_row(one: RankedItem, found: VisitReport) -> tuple[str, ...]:
    item, worth = one.item, found.worth_of(one.item.id)
    asks = "" if item.allowed == "yes" else f" {_capital(one.advice)}."
    caution = f" Caution: {item.caution}." if item.caution else ""
    seconds = "–" if worth is None else f"{_seconds(worth.s_per_mile)} ({_between(worth)})"
    return (
        str(one.rank),
        item.what,
        _takes(one, found.currency),
        seconds,
        f"{_capital(item.why)}.{asks}{caution}",
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _takes(one: RankedItem, currency: str) -> str:
    hours = "? h" if one.item.hours is None else f"{one.item.hours:g} h"
    cost = f"? {currency}" if one.item.cost is None else f"{one.item.cost:g} {currency}"
    return f"{hours}, {cost}".rstrip()


def _seconds(value: float) -> str:
    return mark_text(round(value))


def _between(one: Improves) -> str:
    return f"{_seconds(one.low)} to {_seconds(one.high)}"


def _cost(found: VisitReport) -> Iterator[str]:
    work = found.work
    if work.ranked:
        unknown = f"; {work.unknown} of them without cost or hours" if work.unknown else ""
        money = f"{work.cost:g} {found.currency}".rstrip()
        yield f"To do, {len(work.ranked)} items: {work.hours:g} h and {money}{unknown}."
    if found.since.items_done:
        count, money = len(found.since.items_done), f"{found.done_cost:g} {found.currency}".rstrip()
        items = f"{count} item{'' if count == 1 else 's'}"
        yield f"Done since the visit before, {items}: {found.done_hours:g} h and {money}."


def _improves(found: VisitReport) -> Table:
    if found.priced_in is None or not found.improves:
        return (), (), ()
    wind_kn, sea = found.priced_in
    lines = (
        f"Up the wind in {wind_kn:.0f} kn, {sea}, by the speed model, one at a time: they do not add up.",
        "Of everything else the model says nothing; a trial beside another boat can.",
    )
    heads = ("what", "s a mile", "90 % interval", "work list")
    names = {one.item.id: f"item {one.rank}" for one in found.work.ranked}
    rows = tuple(
        (
            _capital(one.words),
            _seconds(one.s_per_mile),
            _between(one) if one.is_clear else f"{_between(one)}: not clear",
            ", ".join(names[item] for item in one.items) or "a drill",
        )
        for one in found.improves
    )
    return lines, heads, rows


def _marks(every: Sequence[MarkStage], told: Sequence[MarkStage]) -> Table:
    counted = {stage: sum(one.now == stage for one in every) for stage in ("whipped", "inked", "taped", None)}
    said = ", ".join(f"{count} {stage or 'without marks'}" for stage, count in counted.items() if count)
    rows = tuple((one.name, one.before or "–", one.now or "–", _capital(one.advice)) for one in told)
    return (f"Of {len(every)} controls: {said}.",), ("control", "before", "now", "what to do"), rows


def _gauges(found: VisitReport) -> Iterator[str]:
    names = {one.control: one.name for one in found.marks}
    for one in found.since.gauges:
        change = "" if one.change is None else f" Hardware changed: {one.change}"
        yield f"{names.get(one.control, one.control)}, {one.day}: {one.words}{change}"


def _forbidden(items: Sequence[RankedItem]) -> Iterator[str]:
    for one in items:
        yield f"{one.item.what} ({one.advice})"


def print_visit(found: VisitReport, out: Path) -> None:
    """Write the report as a PDF, photos embedded.

    Raises
    ------
    InputError
        The name does not end in .pdf, or a photo of the book is gone.
    """
    if out.suffix.lower() != ".pdf":
        raise InputError(f"{out.name}: the report is a .pdf", next_step="give such a name with --out")
    pictures = [
        Picture(f"photo{place}{one.path.suffix}", _bytes(one.path), one.caption)
        for place, one in enumerate(found.photos, start=1)
    ]
    write_atomically(out, visit_pdf(lambda most: visit_pages(found, most), pictures, found.made))


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{path}: the photo cannot be read", next_step="run: cringle book check") from error


def visit_json(found: VisitReport) -> dict[str, Any]:
    """Return the report as plain values."""
    since = found.since
    priced = found.priced_in
    return {
        "schema": 1,
        "boat": found.boat,
        "visit": found.day.isoformat(),
        "visit_before": since.before,
        "said": {name: list(value) for name, value in asdict(found.said).items()},
        "seen": list(since.seen),
        "done": [
            {"day": one.day.isoformat(), "words": one.words, "who": one.who}
            for one in (*since.earlier, *since.today)
        ],
        "outings": since.outings,
        "next": [_item_json(one, found) for one in found.work.ranked],
        "forbidden": [one.item.id for one in found.work.forbidden],
        "cost": {
            "currency": found.currency,
            "to_do": found.work.cost,
            "to_do_h": found.work.hours,
            "unknown": found.work.unknown,
            "done": found.done_cost,
            "done_h": found.done_hours,
        },
        "improves": [asdict(one) for one in found.improves],
        "wind_kn": None if priced is None else priced[0],
        "sea": None if priced is None else priced[1],
        "marks": [asdict(one) for one in found.marks],
        "gauge_studies": [{**asdict(one), "day": one.day.isoformat()} for one in since.gauges],
        "actions": list(found.actions),
        "photos": [{"sha256": one.sha256, "caption": one.caption} for one in found.photos],
        "not_entered": list(found.notes),
        "cautions": [*CAUTIONS, RACING],
    }


def _item_json(one: RankedItem, found: VisitReport) -> dict[str, Any]:
    worth, item = found.worth_of(one.item.id), one.item
    return {
        "rank": one.rank,
        "id": item.id,
        "what": item.what,
        "why": item.why,
        "advice": one.advice,
        "cost": item.cost,
        "time_h": item.hours,
        "caution": item.caution or None,
        "s_per_mile": None if worth is None else worth.s_per_mile,
    }
