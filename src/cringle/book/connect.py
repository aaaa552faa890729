"""How the book's database is opened: settings of every connection, and the two kinds of transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.pool import ConnectionPoolEntry, QueuePool

from cringle.book.failures import explained

BUSY_TIMEOUT_MS: Final = 5000
"""How long a writer waits for another one before it gives up [ms]."""

SETTINGS: Final = (
    f"PRAGMA busy_timeout = {BUSY_TIMEOUT_MS}",
    "PRAGMA foreign_keys = ON",
    "PRAGMA synchronous = FULL",
    "PRAGMA recursive_triggers = ON",
)
"""Set on every connection; write-ahead logging is set once, when the book is made, and stays."""


def engine_for(path: Path) -> Engine:
    """Return an engine on a database file, with every connection set up as the book needs it.

    Python's own transaction handling is switched off; `reading` and `writing` say BEGIN themselves. One
    connection stays open between uses, and each thread that needs another at the same time gets its own.
    """
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        poolclass=QueuePool,
        pool_size=1,
        connect_args={"isolation_level": None, "check_same_thread": False, "timeout": BUSY_TIMEOUT_MS / 1000},
    )

    @event.listens_for(engine, "connect")
    def set_up(connection: sqlite3.Connection, _record: ConnectionPoolEntry) -> None:
        for statement in SETTINGS:
            connection.execute(statement)

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql(connection.get_execution_options().get("begin", "BEGIN"))

    return engine


@contextmanager
def reading(engine: Engine, path: Path) -> Iterator[Connection]:
    """Give a connection that sees one instant of the book."""
    with explained(path), engine.connect() as connection:
        yield connection


@contextmanager
def writing(engine: Engine, path: Path) -> Iterator[Connection]:
    """Give the one connection that may write now; commit at the end, undo everything on an error."""
    options = {"begin": "BEGIN IMMEDIATE"}
    with explained(path), engine.connect() as opened, opened.execution_options(**options).begin():
        yield opened
