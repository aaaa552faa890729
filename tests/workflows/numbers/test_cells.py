from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import ConflictError, InputError
from cringle.settings.table import DEFAULT_SEA
from cringle.workflows.numbers.cells import CellPlace, empty_cell, see_cell
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import SettingChange, set_number

VANG = CellPlace("vang", 10.0)


@pytest.fixture
def filled(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    return book_folder


def changed(folder: Path, value: float, why: str = "felt free") -> None:
    set_number(folder, SettingChange("vang", 10.0, value), who="Ines", why=why)


def test_the_history_of_a_cell_is_told_oldest_first(filled: Path) -> None:
    changed(filled, 5.0)
    changed(filled, 6.0, why="still free")
    seen = see_cell(filled, VANG)
    assert [one.id for one in seen.history] == sorted(one.id for one in seen.history)
    assert [one.why for one in seen.history] == [
        "first table of table.csv",
        "felt free",
        "still free",
    ]
    assert seen.now == seen.history[-1]
    assert seen.place.sail_set is not None
    assert seen.place.sea == DEFAULT_SEA
    assert seen.scale.role == "vang"


def test_a_cell_can_be_seen_as_it_stood(filled: Path) -> None:
    first = see_cell(filled, VANG)
    changed(filled, 5.0)
    then = see_cell(filled, VANG, until=first.history[-1].id)
    assert then.history == first.history
    assert then.now == first.now


def test_an_empty_cell_has_a_history_and_nothing_in_it(filled: Path) -> None:
    assert see_cell(filled, CellPlace("vang", 17.0)).history == ()
    assert see_cell(filled, CellPlace("vang", 17.0)).now is None


def test_emptying_keeps_the_history(filled: Path) -> None:
    before = see_cell(filled, VANG)
    assert before.now is not None
    entry = empty_cell(filled, VANG, base_id=before.now.id, who="coach", why="a guess")
    after = see_cell(filled, VANG)
    assert after.now is None
    assert after.history == (*before.history, entry)
    assert entry.is_blank
    assert (entry.who, entry.why) == ("coach", "a guess")


def test_a_number_written_meanwhile_is_not_emptied(filled: Path) -> None:
    seen = see_cell(filled, VANG).now
    assert seen is not None
    changed(filled, 5.0)
    with pytest.raises(ConflictError):
        empty_cell(filled, VANG, base_id=seen.id, who="coach", why="a guess")
    newest = see_cell(filled, VANG).now
    assert newest is not None
    assert newest.who == "Ines"


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (CellPlace("sprit", 10.0), "role"),
        (CellPlace("vang", 10.0, sea="glass"), "sea"),
        (CellPlace("vang", 10.0, sail_set="nothing at all"), "sail"),
    ],
)
def test_a_cell_that_cannot_be_is_refused(filled: Path, place: CellPlace, words: str) -> None:
    with pytest.raises(InputError, match=words):
        see_cell(filled, place)
