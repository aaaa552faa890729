from __future__ import annotations

import threading
from pathlib import Path

import pytest
from sqlalchemy import text

from cringle.book.connect import BUSY_TIMEOUT_MS, engine_for, reading, writing
from cringle.book.store import Book


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("busy_timeout", BUSY_TIMEOUT_MS),
        ("recursive_triggers", 1),
        ("journal_mode", "wal"),
    ],
)
def test_every_connection_is_set_up(book: Book, name: str, value: object) -> None:
    engine = engine_for(book.path)
    for _ in range(2):
        with reading(engine, book.path) as connection:
            assert connection.exec_driver_sql(f"PRAGMA {name}").scalar_one() == value
    with writing(engine, book.path) as connection:
        assert connection.exec_driver_sql(f"PRAGMA {name}").scalar_one() == value
    engine.dispose()


def test_a_reader_sees_one_instant(book: Book) -> None:
    engine = engine_for(book.path)
    count = text("SELECT count(*) FROM fit")
    insert = text("INSERT INTO fit VALUES (NULL, '', '{}', '{}', '', '')")
    with reading(engine, book.path) as connection:
        assert connection.execute(count).scalar_one() == 0
        with writing(engine, book.path) as other:
            other.execute(insert)
        assert connection.execute(count).scalar_one() == 0
    with reading(engine, book.path) as connection:
        assert connection.execute(count).scalar_one() == 1
    engine.dispose()


def test_an_error_undoes_everything(book: Book) -> None:
    engine = engine_for(book.path)
    with pytest.raises(ZeroDivisionError), writing(engine, book.path) as connection:
        connection.execute(text("INSERT INTO fit VALUES (NULL, '', '{}', '{}', '', '')"))
        raise ZeroDivisionError
    with reading(engine, book.path) as connection:
        assert connection.execute(text("SELECT count(*) FROM fit")).scalar_one() == 0
    engine.dispose()


def test_threads_may_share_one_book(book: Book, tmp_path: Path) -> None:
    from cringle.book.entries import NewEntry

    failures: list[BaseException] = []

    def write(name: str) -> None:
        try:
            for _ in range(20):
                book.write([NewEntry("observation", name, {"text": "x"})], why="x")
                book.current("setting")
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=write, args=(f"t{number}",)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert len(book.history("observation")) == 80
    assert book.check() == []
