from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest
from sqlalchemy import Table

from cringle.book.entries import KEY_FIELDS
from cringle.book.migrate import MIGRATIONS
from cringle.book.schema import CURRENT, ENTRY, FIT, HEAD, HEAD_REVISION
from cringle.book.store import Book


@pytest.mark.parametrize("table", [ENTRY, CURRENT, HEAD, FIT], ids=lambda table: table.name)
def test_the_code_and_the_database_agree_on_columns(book: Book, table: Table) -> None:
    with closing(sqlite3.connect(book.path)) as connection:
        rows = connection.execute(f"PRAGMA table_info({table.name})").fetchall()
    assert {row[1]: row[2] for row in rows} == {
        column.name: {"INTEGER": "INTEGER", "TEXT": "TEXT", "FLOAT": "REAL"}[str(column.type)]
        for column in table.columns
    }


def test_the_newest_migration_is_the_one_the_code_expects() -> None:
    names = sorted(path.name for path in (MIGRATIONS / "versions").glob("[0-9]*.py"))
    assert names[-1].startswith(HEAD_REVISION)


def test_the_columns_are_the_documented_ones() -> None:
    assert [column.name for column in ENTRY.columns] == [
        "id",
        "uid",
        "at_utc",
        "who",
        "why",
        *KEY_FIELDS,
        "value_json",
        "unit",
        "base_id",
        "batch_uid",
        "device",
    ]
