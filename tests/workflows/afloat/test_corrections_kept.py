"""Corrections as entries of the book."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.track.race.correction import Correction
from cringle.workflows.afloat.corrections_kept import (
    CORRECTION,
    all_in_force,
    corrections_in_force,
    keep_corrections,
    kept_corrections,
    undo_corrections,
)

AT = datetime(2026, 6, 17, 17, 5, tzinfo=UTC)
TACK = Correction("tack", "remove", AT)
START = Correction("start", "move", AT, AT + timedelta(seconds=20))
LOG, OTHER = "a" * 64, "b" * 64


def test_they_are_kept_with_who_and_why_and_count_up(book_folder: Path) -> None:
    first = keep_corrections(book_folder, LOG, [TACK, START], who="Ines", why="seen from the boat")
    (third,) = keep_corrections(book_folder, LOG, [TACK], who="Keo", why="again")
    keep_corrections(book_folder, OTHER, [START], who="Keo", why="another log")
    assert [one.number for one in (*first, third)] == [1, 2, 3]
    kept = kept_corrections(book_folder, LOG)
    assert [(one.number, one.correction, one.who, one.why) for one in kept] == [
        (1, TACK, "Ines", "seen from the boat"),
        (2, START, "Ines", "seen from the boat"),
        (3, TACK, "Keo", "again"),
    ]
    assert corrections_in_force(book_folder, LOG) == (TACK, START, TACK)
    assert all_in_force(book_folder) == {LOG: (TACK, START, TACK), OTHER: (START,)}
    assert kept[1].to_json()["time"] == AT.isoformat()
    assert kept[1].to_json()["undone"] is False


def test_undone_they_stay_in_the_list_and_count_no_more(book_folder: Path) -> None:
    keep_corrections(book_folder, LOG, [TACK, START], who="Ines", why="seen")
    (gone,) = undo_corrections(book_folder, LOG, [1], who="Keo", why="it was one")
    assert (gone.undone, gone.who, gone.why, gone.correction) == (True, "Keo", "it was one", TACK)
    assert [one.undone for one in kept_corrections(book_folder, LOG)] == [True, False]
    assert corrections_in_force(book_folder, LOG) == (START,)
    with pytest.raises(InputError, match="no correction 1 of this log; it has 2"):
        undo_corrections(book_folder, LOG, [2, 1], who="Keo", why="twice")
    assert corrections_in_force(book_folder, LOG) == (START,)
    (next_,) = keep_corrections(book_folder, LOG, [TACK], who="Ines", why="after all")
    assert next_.number == 3
    with Book.open(book_folder) as book:
        words = [one.value for one in book.history(CORRECTION)]
    assert words == ["no tack at 17:05:00", "start moved from 17:05:00 to 17:05:20", None, words[0]]


def test_a_folder_without_records_has_none_and_gets_none(tmp_path: Path) -> None:
    assert corrections_in_force(None, LOG) == ()
    assert all_in_force(tmp_path) == {}
    assert list(tmp_path.iterdir()) == []
