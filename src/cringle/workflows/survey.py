"""The work list: read the survey, keep what was done, write what was added."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, cast
from zoneinfo import ZoneInfo

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.survey_file import SurveyFile, SurveyItem
from cringle.boat.toml_text import parse, read_toml
from cringle.boat.write import append_tables, write_atomically
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import BookError, ConflictError, InputError
from cringle.settings.names import known_name
from cringle.settings.work_list import (
    RankedItem,
    State,
    WorkList,
    rank_items,
    state_named,
    worth_per_hour,
)
from cringle.workflows.examples import examples_folder

SURVEY = "survey.toml"
STARTER = "starter-survey.toml"


@dataclass(frozen=True)
class SurveyShown:
    """The ranked survey of one boat."""

    boat: str
    currency: str
    work: WorkList
    printed: datetime


def survey_shown(folder: Path, *, at: datetime | None = None) -> SurveyShown:
    """Return the work list of a book, ranked, with each item's state from the history.

    Parameters
    ----------
    folder : Path
        The book.
    at : datetime or None
        When it is printed; now when left out.
    """
    files = read_book_files(folder)
    with Book.open(folder, create=True) as book:
        states = _states(book)
    work = rank_items(files.survey_file.items, states)
    return SurveyShown(files.boat_file.boat.name, files.survey_file.currency, work, local_now(files, at))


def local_now(files: BookFiles, at: datetime | None = None) -> datetime:
    """Return an instant, or now, in the boat's time zone."""
    zone = ZoneInfo(files.boat_file.boat.time_zone)
    return datetime.now(zone) if at is None else at.astimezone(zone)


def _states(book: Book) -> dict[str, State]:
    return {one.key.subject: state_named(str(one.value)) for one in book.current("survey_state")}


def survey_print(folder: Path, out: Path, *, at: datetime | None = None) -> SurveyShown:
    """Write the work list as a PDF."""
    from cringle.output.work_list_pdf import work_list_pdf

    shown = survey_shown(folder, at=at)
    write_atomically(out, work_list_pdf(shown.work, shown.boat, shown.currency, shown.printed))
    return shown


def survey_set_state(folder: Path, item: str, state: str, *, who: str, why: str = "") -> RankedItem:
    """Record that an item is done, dropped or open again.

    Raises
    ------
    InputError
        There is no such item or state.
    ConflictError
        Somebody else changed it meanwhile.
    """
    files = read_book_files(folder)
    known_name(
        item, [one.id for one in files.survey_file.items], what="item", next_step="run: cringle survey show"
    )
    wanted = state_named(state)
    with Book.open(folder, create=True, who=who) as book:
        stands = book.one("survey_state", item)
        entry = NewEntry("survey_state", item, {"value": wanted}, base_id=stands.id if stands else None)
        book.write([entry], why=why or f"{item}: {wanted}")
    found = files.survey_file.item(item)
    if found is None:
        raise InputError(f"no item {item!r}")
    return RankedItem(found, wanted, None, worth_per_hour(found), wanted)


def survey_add(folder: Path, item: Mapping[str, Any], *, who: str, why: str = "") -> SurveyItem:
    """Add one item to ``survey.toml``; comments survive and the edit is recorded.

    Raises
    ------
    InputError
        The id is there already.
    BookFileError
        A field is wrong; the file is left as it was.
    """
    add_items(folder, [item], who=who, why=why or f"survey: {item.get('id')} added")
    added = read_book_files(folder).survey_file.item(str(item["id"]))
    if added is None:
        raise BookError(f"{folder / SURVEY}: the item was not written", next_step="run: cringle book check")
    return added


def survey_add_starter(folder: Path, *, who: str) -> list[str]:
    """Add the items and checks of the generic starter survey that are not there yet; return their ids."""
    starter = read_toml(starter_path())
    parse(starter, SurveyFile)  # a broken starter is named by line before anything is written
    have = set(_ids(read_book_files(folder).survey_file))
    fresh = {
        name: [one for one in starter.data[name] if one["id"] not in have] for name in ("items", "departure")
    }
    for name, tables in fresh.items():
        if tables:
            add_items(folder, tables, who=who, why="starter survey", array=name)
    return [one["id"] for tables in fresh.values() for one in tables]


def starter_path() -> Path:
    """Return where the generic starter survey lies."""
    path = examples_folder() / STARTER
    if not path.is_file():
        raise BookError(f"{STARTER} is missing from this installation", next_step="install Cringle again")
    return path


def add_items(
    folder: Path, tables: Sequence[Mapping[str, Any]], *, who: str, why: str, array: str = "items"
) -> None:
    """Add tables to ``survey.toml`` and record the edit; when either fails, the file is as it was."""
    path, survey = folder / SURVEY, read_book_files(folder).survey_file
    taken = _ids(survey)
    double = next((one["id"] for one in tables if one["id"] in taken), None)
    if double is not None:
        raise InputError(f"item {double!r} is there already", next_step="choose another id, or edit the file")
    before = path.read_bytes()
    try:
        append_tables(path, array, [_plain(one) for one in tables])
        read_book_files(folder)
        with Book.open(folder, create=True, who=who) as book:
            added = [str(one["id"]) for one in tables]
            book.write([NewEntry("toml_edit", SURVEY, {"added": added, "array": array})], why=why)
    except (InputError, BookError, ConflictError):
        write_atomically(path, before)
        raise


def _ids(survey: SurveyFile) -> list[str]:
    return [one.id for one in survey.items] + [one.id for one in survey.departure]


def _plain(table: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value not in (None, "", (), [])}


def survey_json(shown: SurveyShown) -> dict[str, Any]:
    """Return the work list as JSON; unknown is null."""
    work = shown.work
    rows = (*work.ranked, *work.forbidden, *work.finished)
    return {
        "schema": 1,
        "boat": shown.boat,
        "currency": shown.currency,
        "items": [_item_json(one) for one in rows],
        "total": {"cost": work.cost, "time_h": work.hours, "unknown": work.unknown},
    }


def _item_json(one: RankedItem) -> dict[str, Any]:
    item = one.item
    rule = None if item.rule is None else {"number": item.rule.number, "edition": item.rule.edition}
    return {
        "rank": one.rank,
        "id": item.id,
        "what": item.what,
        "why": item.why,
        "category": item.category,
        "allowed": item.allowed,
        "rule": rule,
        "controls": list(item.controls),
        "effect": item.effect,
        "cost": item.cost,
        "time_h": item.hours,
        "state": one.state,
        "advice": one.advice,
        "caution": item.caution or None,
    }


def item_fields(**fields: object) -> dict[str, Any]:
    """Return the fields of a new item as the file has them; empty ones are left out later."""
    rule_number, edition = fields.pop("rule", None), fields.pop("edition", None)
    if rule_number:
        fields["rule"] = {"number": rule_number, "edition": edition or "unknown"}
    return cast("dict[str, Any]", fields)
