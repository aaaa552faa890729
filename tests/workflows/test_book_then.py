from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.workflows.book_then import BookThen
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.entries import SETTING
from cringle.workflows.numbers.settings import SettingChange, set_number


@pytest.fixture
def filled(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    return book_folder


def newest(book: Book) -> int:
    return max(entry.id for entry in book.current(SETTING))


def test_a_later_change_is_not_seen(filled: Path) -> None:
    with Book.open(filled) as book:
        then = newest(book)
        before = book.current(SETTING)
    set_number(filled, SettingChange("vang", 10.0, 5.0), who="coach", why="after the trial")
    with Book.open(filled) as book:
        assert BookThen(book, then).current(SETTING) == before
        assert BookThen(book, newest(book)).current(SETTING) == book.current(SETTING) != before


def test_a_part_of_the_table_is_the_part_of_the_whole(filled: Path) -> None:
    with Book.open(filled) as book:
        then = BookThen(book, newest(book))
        part = then.current(SETTING, role="vang", wind_kn=10.0)
        whole = then.current(SETTING)
        assert part == book.current(SETTING, role="vang", wind_kn=10.0)
    assert part == [one for one in whole if one.key.role == "vang" and one.key.wind_kn == 10.0]
    assert part


def test_before_the_first_entry_there_is_nothing(filled: Path) -> None:
    with Book.open(filled) as book:
        assert BookThen(book, 0).current(SETTING) == []
