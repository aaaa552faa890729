from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from cringle.book import migrate
from cringle.book.connect import engine_for, reading, writing
from cringle.book.migrate import make_database, stored_revision, upgrade
from cringle.book.schema import HEAD_REVISION
from cringle.book.store import Book
from cringle.errors import BookError

ROW = (
    "INSERT INTO entry (uid, at_utc, who, why, kind, subject, wind_kn, value_json, batch_uid) "
    "VALUES (?, '2025-05-01T17:00:00.000000Z', 'Ines', 'x', 'setting', 'table', ?, ?, "
    "'01a211d5-a73b-7d28-8734-745c8bf5b279')"
)


def test_a_new_database_is_made_whole(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    make_database(path)
    engine = engine_for(path)
    with reading(engine, path) as connection:
        assert stored_revision(connection) == HEAD_REVISION
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar_one() == "wal"
    engine.dispose()
    assert [one.name for one in tmp_path.iterdir()] == ["book.sqlite"]


def test_a_failure_half_way_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(migrate, "_give_name", stop)
    with pytest.raises(KeyboardInterrupt):
        make_database(tmp_path / "book.sqlite")
    assert list(tmp_path.iterdir()) == []


def test_a_database_another_process_just_made_is_left_alone(tmp_path: Path) -> None:
    with Book.open(tmp_path, create=True) as book:
        before = book.path.stat().st_ino
        make_database(tmp_path / "book.sqlite")
        assert book.path.stat().st_ino == before
    assert [one.name for one in tmp_path.iterdir() if one.suffix == ".part"] == []


@pytest.mark.parametrize("there", [False, True])
def test_where_there_are_no_links_the_name_is_given_by_renaming(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool
) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError("no links here")

    monkeypatch.setattr("os.link", no_links)
    if there:
        (tmp_path / "book.sqlite").write_bytes(b"the other one's")
    make_database(tmp_path / "book.sqlite")
    kept = (tmp_path / "book.sqlite").read_bytes()
    assert kept.startswith(b"the other" if there else b"SQLite format 3")


def test_an_older_book_is_brought_up_to_date_with_its_history(tmp_path: Path) -> None:
    make_database(tmp_path / "book.sqlite", "0001")
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as connection, connection:
        for number, wind_kn in enumerate((6.0, 8.0, 6.0, None)):
            uid = f"01a211d5-a73b-7d28-8734-74{number:010d}"
            connection.execute(ROW, (uid, wind_kn, f'{{"value": {number}}}'))
    with Book.open(tmp_path) as book:
        assert {entry.key.wind_kn: entry.value for entry in book.current("setting")} == {
            8.0: 1,
            6.0: 2,
            None: 3,
        }
        assert len(book.history()) == 4
        assert book.check() == []


def test_a_failed_migration_leaves_the_older_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_database(tmp_path / "book.sqlite", "0001")

    def half(connection: object, revision: str = HEAD_REVISION) -> None:
        upgrade(connection, revision)  # type: ignore[arg-type]
        raise RuntimeError("power cut")

    monkeypatch.setattr(migrate, "upgrade", half)
    with pytest.raises(RuntimeError):
        Book.open(tmp_path)
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
        assert connection.execute("SELECT count(*) FROM sqlite_master WHERE name = 'head'").fetchone() == (0,)


def test_a_newer_book_is_refused_and_untouched(book: Book) -> None:
    with closing(sqlite3.connect(book.path)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '0099'")
    with pytest.raises(BookError, match="written by a newer Cringle") as refused:
        Book.open(book.directory)
    assert refused.value.next_step is not None
    assert "install" in refused.value.next_step


@pytest.mark.parametrize("content", [b"", None])
def test_some_other_database_is_refused(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "book.sqlite"
    if content is not None:
        path.write_bytes(content)
    else:
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("CREATE TABLE songs (name TEXT)")
    before = path.read_bytes()
    with pytest.raises(BookError, match="is a database but no book"):
        Book.open(tmp_path)
    assert path.read_bytes() == before


def test_a_book_copied_without_its_log_returns_to_logging_ahead(book: Book) -> None:
    book.close()
    with closing(sqlite3.connect(book.path)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    with Book.open(book.directory):
        pass
    with closing(sqlite3.connect(book.path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_upgrading_to_where_it_is_does_nothing(book: Book) -> None:
    engine = engine_for(book.path)
    with writing(engine, book.path) as connection:
        upgrade(connection)
        assert stored_revision(connection) == HEAD_REVISION
    engine.dispose()
