from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.exchange import Travelling, from_json_lines, to_json_lines
from cringle.book.store import Book
from cringle.errors import ConflictError, InputError

Cell = Callable[..., NewEntry]


@pytest.fixture
def copies(book: Book, cell: Cell, tmp_path: Path) -> tuple[Book, Book]:
    """Two copies of a book that share one cell."""
    book.write([cell(4.0)], why="shared")
    book.close()
    shutil.copytree(book.directory, tmp_path / "copy")
    return book, Book.open(tmp_path / "copy", who="Tobias")


def travelled(book: Book) -> list:  # type: ignore[type-arg]
    return from_json_lines(to_json_lines(book.export_entries()))


def test_a_whole_history_travels_to_an_empty_book(book: Book, cell: Cell, tmp_path: Path) -> None:
    book.write([cell(4.0), cell(1.0, wind_kn=6.0)], why="first")
    book.write([cell(5.0, base_id=1)], why="second")
    book.write([cell(6.0, base_id=REGARDLESS)], why="third")
    book.write([NewEntry("observation", "2026-05-01", {"text": "Böe"})], why="note")
    book.restore("setting", 2)
    with Book.open(tmp_path / "other", create=True) as other:
        report = other.import_entries(travelled(book))
        assert (report.added, report.already_there, report.clashes) == (6, 0, ())
        assert other.history() == book.history()
        assert other.current("setting") == book.current("setting")
        assert other.check() == []


def test_taking_in_twice_changes_nothing(copies: tuple[Book, Book], cell: Cell) -> None:
    ours, theirs = copies
    theirs.write([cell(5.0, base_id=1)], why="windier")
    first = ours.import_entries(travelled(theirs))
    assert (first.added, first.already_there) == (1, 1)
    newest = ours.newest()
    second = ours.import_entries(travelled(theirs))
    assert (second.added, second.already_there) == (0, 2)
    assert ours.newest() == newest
    assert [entry.value for entry in ours.current("setting")] == [5.0]


def test_the_same_entry_twice_in_one_file_counts_once(copies: tuple[Book, Book], cell: Cell) -> None:
    ours, theirs = copies
    theirs.write([cell(5.0, base_id=1)], why="windier")
    report = ours.import_entries([*travelled(theirs), *travelled(theirs)])
    assert report.added == 1


@pytest.mark.parametrize(("prefer", "stands"), [("ours", 3.0), ("theirs", 6.0)])
def test_both_changed_a_cell_and_a_person_picks(
    copies: tuple[Book, Book], cell: Cell, prefer: str, stands: float
) -> None:
    ours, theirs = copies
    ours.write([cell(3.0, base_id=1)], why="lighter")
    theirs.write([cell(5.0, base_id=1)], why="windier")
    theirs.write([cell(6.0, base_id=2)], why="windier still")
    with pytest.raises(ConflictError, match="you wrote 3 mark, Tobias wrote 5 mark"):
        ours.import_entries(travelled(theirs))
    assert ours.newest() == 2, "nothing was taken in"
    report = ours.import_entries(travelled(theirs), prefer=prefer)  # type: ignore[arg-type]
    assert len(report.clashes) == 1
    assert [entry.value for entry in ours.current("setting")] == [stands]
    assert {3.0, 5.0, 6.0} <= {entry.value for entry in ours.history("setting")}, "both stay"
    assert ours.check() == []


def test_a_cell_emptied_here_takes_what_somebody_wrote_who_saw_nothing(
    book: Book, cell: Cell, tmp_path: Path
) -> None:
    book.write([cell(4.0)], why="x")
    book.restore("setting", 0)
    with Book.open(tmp_path / "other", create=True, who="Keo") as other:
        other.write([cell(7.0)], why="y")
        report = book.import_entries(travelled(other))
    assert report.clashes == ()
    assert [entry.value for entry in book.current("setting")] == [7.0]


def test_our_emptied_cell_stays_emptied_when_ours_is_preferred(copies: tuple[Book, Book], cell: Cell) -> None:
    ours, theirs = copies
    ours.restore("setting", 0)
    theirs.write([cell(5.0, base_id=1)], why="windier")
    ours.import_entries(travelled(theirs), prefer="ours")
    assert ours.current("setting") == []


GOOD: dict[str, Any] = {
    "uid": "01a211d5-a73b-7a8e-8186-eec868f44fec",
    "batch_uid": "01a211d5-a73b-7d28-8734-745c8bf5b279",
    "base_uid": None,
    "at_utc": "2026-05-01T17:00:00.000000Z",
    "who": "Ines",
    "why": "x",
    "kind": "setting",
    "subject": "table",
    "wind_kn": 8.0,
    "value": {"value": 4.0},
}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"uid": "not-a-uid"}, "badly formed"),
        ({"who": 3}, "who is not a text"),
        ({"role": 3}, "role is not a text"),
        ({"value": 4.0}, "value is not a JSON object"),
        ({"at_utc": "yesterday"}, "Invalid isoformat"),
        ({"at_utc": "2026-05-01T17:00:00"}, "no time zone"),
        ({"wind_kn": -3}, "not negative"),
        ({"wind_kn": "8"}, "must be real number|not a|str"),
    ],
)
def test_a_bad_line_is_named(change: dict[str, object], words: str) -> None:
    text = json.dumps(GOOD) + "\n\n" + json.dumps(GOOD | change) + "\n"
    with pytest.raises(InputError, match=rf"phone\.jsonl:3: not an entry of a book \(.*({words})"):
        from_json_lines(text, "phone.jsonl")


@pytest.mark.parametrize("line", ["{", "[]", "3", '{"uid": NaN}', "{}"])
def test_what_is_no_entry_is_refused(line: str) -> None:
    with pytest.raises(InputError, match="import:1: not an entry"):
        from_json_lines(line)


@given(st.text(st.characters(exclude_categories=("Cs",))))
def test_any_words_travel(words: str) -> None:
    entry = NewEntry("observation", "d", {"text": words})
    uid = UUID(GOOD["uid"])
    sent = Travelling(uid, uid, None, str(GOOD["at_utc"]), words, words, replace(entry, uid=uid))
    assert from_json_lines(to_json_lines([sent, sent])) == [sent, sent]


@given(st.text() | st.binary().map(lambda raw: raw.decode("latin-1")))
def test_any_text_is_entries_or_a_clear_error(text: str) -> None:
    try:
        assert isinstance(from_json_lines(text), list)
    except InputError as error:
        assert error.next_step


def test_a_deep_nest_and_an_impossible_year_are_refused() -> None:
    for line in ("[" * 100_000, json.dumps(GOOD | {"at_utc": "0001-01-01T00:00:00+23:00"})):
        with pytest.raises(InputError, match="import:1"):
            from_json_lines(line)


def test_nothing_is_an_import_of_nothing(book: Book) -> None:
    assert book.import_entries(from_json_lines("")).added == 0
