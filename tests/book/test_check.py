from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from cringle.book.check import TRIGGERS, check_files
from cringle.book.entries import NewEntry
from cringle.book.files import sha256_of
from cringle.book.store import Book

Cell = Callable[..., NewEntry]


def spoil(book: Book, *statements: str) -> None:
    with closing(sqlite3.connect(book.path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


def test_a_healthy_book_has_nothing_to_say(book: Book, cell: Cell) -> None:
    assert book.check() == []
    book.write([cell(4.0), cell(1.0, wind_kn=0.0)], why="x")
    book.restore("setting", 0)
    assert book.check() == []


@pytest.mark.parametrize(
    ("statements", "words"),
    [
        (["DROP TRIGGER entry_never_deleted", "DELETE FROM entry WHERE id = 2"], "refers to a row of entry"),
        (
            ["DROP TRIGGER entry_never_deleted", "DELETE FROM entry WHERE id = 1"],
            "no trigger entry_never_deleted",
        ),
        (
            ["DROP TRIGGER head_only_forward", "UPDATE head SET entry_id = 1"],
            "is not the one shown as current",
        ),
        (["DROP TRIGGER entry_never_deleted", "DELETE FROM entry WHERE id = 1"], "1 entries were taken out"),
        (["UPDATE alembic_version SET version_num = '0001'"], "wrong revision"),
        (["DROP TRIGGER entry_moves_head"], "no trigger entry_moves_head"),
    ],
)
def test_what_was_tampered_with_is_named(book: Book, cell: Cell, statements: list[str], words: str) -> None:
    book.write([cell(4.0)], why="x")
    book.write([cell(5.0, base_id=1)], why="x")
    spoil(book, "PRAGMA foreign_keys = OFF", *statements)
    assert any(words in str(finding) for finding in book.check()), [str(one) for one in book.check()]


def test_a_ruined_index_is_damage(book: Book, cell: Cell) -> None:
    book.write([cell(float(step), wind_kn=float(step)) for step in range(20)], why="x")
    with closing(sqlite3.connect(book.path)) as connection:
        root = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'entry_batch'").fetchone()[
            0
        ]
        size = connection.execute("PRAGMA page_size").fetchone()[0]
    book.close()
    with book.path.open("r+b") as handle:
        handle.seek(root * size - 40)
        handle.write(b"x" * 30)
    with Book.open(book.directory) as again:
        found = again.check()
        assert [entry.value for entry in again.current("setting")][:2] == [0.0, 1.0], "the rest can be read"
    assert found
    assert all(finding.message.startswith("damaged") for finding in found)


def test_the_list_of_triggers_is_the_real_one(book: Book) -> None:
    with closing(sqlite3.connect(book.path)) as connection:
        names = {
            row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        }
    assert names == TRIGGERS


def test_kept_files_are_there_and_unchanged(book: Book) -> None:
    book.logs.mkdir()
    log = book.logs / "evening.nmea"
    log.write_bytes(b"one")
    named = {"file": "logs/evening.nmea", "sha256": sha256_of(log)}
    book.write(
        [NewEntry("log", "evening", named), NewEntry("observation", "d", {"text": "no photo"})], why="x"
    )
    assert book.check() == []
    log.write_bytes(b"two")
    assert "SHA-256 differs" in str(book.check()[0])
    log.unlink()
    assert "it is not there" in str(book.check()[0])


@pytest.mark.parametrize("name", ["../evening.nmea", "/etc/hostname", "logs/../../evening.nmea"])
def test_a_file_outside_the_book_is_not_looked_at(book: Book, name: str) -> None:
    book.write([NewEntry("log", "evening", {"file": name, "sha256": "00"})], why="from somewhere else")
    assert "names a file outside the book" in str(book.check()[0])


def test_nothing_named_nothing_missing(tmp_path: Path) -> None:
    assert check_files(tmp_path, []) == []
