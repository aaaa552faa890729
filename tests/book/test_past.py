from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.store import Book
from cringle.errors import InputError

Cell = Callable[..., NewEntry]


def values(book: Book) -> dict[float | None, object]:
    return {entry.key.wind_kn: entry.value for entry in book.current("setting")}


@pytest.fixture
def grown(book: Book, cell: Cell) -> Book:
    """Entries 1 and 2 at 17:00:01, 3 at 17:00:02, 4 at 17:00:03."""
    book.write([cell(1.0, wind_kn=6.0), cell(2.0, wind_kn=8.0)], why="first table")
    book.write([cell(2.5, wind_kn=8.0, base_id=2)], why="felt slow")
    book.write([cell(3.0, wind_kn=12.0)], why="new row")
    return book


def test_any_earlier_table_by_entry_and_by_instant(grown: Book) -> None:
    def then(at: datetime | int) -> dict[float | None, object]:
        return {entry.key.wind_kn: entry.value for entry in grown.as_of(at, "setting")}

    assert then(0) == {}
    assert then(1) == {6.0: 1.0}
    assert then(2) == then(datetime(2026, 5, 1, 17, 0, 1, tzinfo=UTC)) == {6.0: 1.0, 8.0: 2.0}
    assert then(3) == {6.0: 1.0, 8.0: 2.5}
    assert then(99) == values(grown)


def test_restore_writes_only_what_differs_as_one_batch(grown: Book) -> None:
    written = grown.restore("setting", 2)
    assert values(grown) == {6.0: 1.0, 8.0: 2.0}
    assert [(entry.key.wind_kn, entry.value, entry.base_id) for entry in written] == [
        (8.0, 2.0, 3),
        (12.0, None, 4),
    ]
    assert len({entry.batch_uid for entry in written}) == 1
    assert {entry.why for entry in written} == {"back to entry 2"}
    assert len(grown.history("setting")) == 6, "nothing was deleted"


def test_a_restore_can_be_taken_back(grown: Book) -> None:
    before = values(grown)
    newest = grown.newest()
    grown.restore("setting", 0, why="a mistake")
    assert values(grown) == {}
    grown.restore("setting", newest)
    assert values(grown) == before


def test_restoring_the_same_twice_writes_nothing(grown: Book) -> None:
    grown.restore("setting", 2)
    assert grown.restore("setting", 2) == []
    assert grown.restore("setting", grown.newest()) == []


def test_a_restored_number_keeps_who_gave_it(grown: Book) -> None:
    with Book.open(grown.directory, who="Tobias") as other:
        (first, *_) = other.restore("setting", 2)
    assert first.who == "Tobias"
    assert first.number is not None
    assert first.number.by == "Ines"


def test_restore_leaves_other_kinds_alone(grown: Book) -> None:
    grown.write([NewEntry("mark_stage", "vang", {"value": "inked"})], why="x")
    grown.restore("setting", 0)
    assert [entry.value for entry in grown.current("mark_stage")] == ["inked"]


def test_a_state_without_a_bare_value_is_emptied_too(book: Book) -> None:
    book.write([NewEntry("goal", "2026-05-01/1", {"text": "hold 12 degrees", "state": "open"})], why="x")
    book.restore("goal", 0)
    assert book.current("goal") == []
    book.restore("goal", 1)
    assert [entry.payload["text"] for entry in book.current("goal")] == ["hold 12 degrees"]


def test_events_cannot_be_taken_back(book: Book) -> None:
    book.write([NewEntry("observation", "2026-05-01", {"text": "gust"})], why="x")
    with pytest.raises(InputError, match="cannot be taken back"):
        book.restore("observation", 0)


def test_two_units_are_two_values(book: Book) -> None:
    book.write([NewEntry("scale", "vang", {"value": 1.0}, unit="mark")], why="x")
    book.write([NewEntry("scale", "vang", {"value": 1.0}, unit="mm", base_id=REGARDLESS)], why="x")
    (back,) = book.restore("scale", 1)
    assert back.unit == "mark"
