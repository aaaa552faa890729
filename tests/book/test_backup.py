from __future__ import annotations

import json
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from cringle.book.backup import backup, restore_backup
from cringle.book.entries import NewEntry
from cringle.book.files import copy_file, sha256_of
from cringle.book.store import Book
from cringle.errors import BookError, InputError

Cell = Callable[..., NewEntry]


@pytest.fixture
def full(book: Book, cell: Cell, tmp_path: Path) -> Book:
    """A book with TOML files, a play, a log that the history names, and a cache."""
    (book.directory / "class.toml").write_text("# Ouzel\n", encoding="utf-8")
    (book.directory / "plays").mkdir()
    (book.directory / "plays" / "gybe.toml").write_text("# gybe\n", encoding="utf-8")
    (book.directory / "cache").mkdir()
    (book.directory / "cache" / "polar.parquet").write_bytes(b"again")
    source = tmp_path / "evening.nmea"
    source.write_bytes(b"$GPRMC,,V,,,,,,,,,,N*53\r\n" * 200)
    copy_file(source, book.logs / "evening.nmea")
    book.write([cell(4.0)], why="start")
    named = {"file": "logs/evening.nmea", "sha256": sha256_of(source)}
    book.write([NewEntry("log", "evening", named)], why="read")
    return book


def contents(directory: Path) -> dict[str, bytes]:
    return {
        path.relative_to(directory).as_posix(): path.read_bytes()
        for path in sorted(directory.rglob("*"))
        if path.is_file() and not path.name.startswith("book.sqlite")
    }


def test_a_backup_comes_back_whole_without_the_cache(full: Book, tmp_path: Path) -> None:
    report = backup(full, tmp_path / "brindle.zip")
    assert (report.files, report.entries) == (4, 2)
    back = restore_backup(tmp_path / "brindle.zip", tmp_path / "again")
    assert (back.files, back.replaced) == (4, None)
    expected = {
        name: data for name, data in contents(full.directory).items() if not name.startswith("cache/")
    }
    assert contents(tmp_path / "again") == expected
    with Book.open(tmp_path / "again") as again:
        assert again.history() == full.history()
        assert again.current("setting") == full.current("setting")
        assert again.check() == []
    assert not [path for path in tmp_path.iterdir() if path.name.endswith(".part")], "no pieces left"


def test_a_backup_holds_what_another_connection_just_wrote(full: Book, cell: Cell, tmp_path: Path) -> None:
    with Book.open(full.directory, who="Keo") as other:
        other.write([cell(9.0, wind_kn=20.0)], why="still in the write-ahead log")
        report = backup(full, tmp_path / "b.zip")
    assert report.entries == 3


def test_an_existing_backup_is_kept_unless_asked(full: Book, tmp_path: Path) -> None:
    backup(full, tmp_path / "b.zip")
    with pytest.raises(InputError, match="is there already"):
        backup(full, tmp_path / "b.zip")
    backup(full, tmp_path / "b.zip", replace=True)
    with pytest.raises(InputError, match="among the book's own logs"):
        backup(full, full.logs / "b.zip")


def test_a_book_that_stands_there_is_moved_aside(full: Book, cell: Cell, tmp_path: Path) -> None:
    backup(full, tmp_path / "b.zip")
    full.write([cell(5.0, base_id=1)], why="after the backup")
    full.close()
    with pytest.raises(InputError, match="is not empty"):
        restore_backup(tmp_path / "b.zip", full.directory)
    report = restore_backup(tmp_path / "b.zip", full.directory, replace=True)
    assert report.replaced is not None
    with Book.open(full.directory) as restored, Book.open(report.replaced) as old:
        assert [entry.value for entry in restored.current("setting")] == [4.0]
        assert [entry.value for entry in old.current("setting")] == [5.0], "nothing is lost"
        assert old.check() == []
    assert (report.replaced / "cache" / "polar.parquet").read_bytes() == b"again"


def test_a_book_in_use_is_not_replaced(full: Book, tmp_path: Path) -> None:
    backup(full, tmp_path / "b.zip")
    before = contents(full.directory)
    full.current("setting")
    with pytest.raises(BookError, match="is open in another program"):
        restore_backup(tmp_path / "b.zip", full.directory, replace=True)
    assert contents(full.directory) == before
    assert not [path for path in tmp_path.iterdir() if path.name.endswith(".part")]


def test_a_damaged_book_can_be_replaced(full: Book, tmp_path: Path) -> None:
    backup(full, tmp_path / "b.zip")
    full.close()
    full.path.write_bytes(b"ruined" * 1000)
    restore_backup(tmp_path / "b.zip", full.directory, replace=True)
    with Book.open(full.directory) as restored:
        assert restored.check() == []


def test_an_empty_directory_needs_no_asking(full: Book, tmp_path: Path) -> None:
    backup(full, tmp_path / "b.zip")
    (tmp_path / "empty").mkdir()
    assert restore_backup(tmp_path / "b.zip", tmp_path / "empty").replaced is None


def repacked(source: Path, target: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """Return a copy of a backup with changed members."""
    with zipfile.ZipFile(source) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    change(members)
    with zipfile.ZipFile(target, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return target


def relisted(members: dict[str, bytes], name: str, data: bytes) -> None:
    """Change a member and the manifest with it, as somebody would who means harm."""
    import hashlib

    members[name] = data
    manifest = json.loads(members["manifest.json"])
    rest = [one for one in manifest["files"] if one["name"] != name]
    manifest["files"] = [
        *rest,
        {"name": name, "sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)},
    ]
    members["manifest.json"] = json.dumps(manifest).encode()


def _forged_database(members: dict[str, bytes], statement: str, folder: Path) -> None:
    path = folder / "forged.sqlite"
    path.write_bytes(members["book.sqlite"])
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        for part in statement.split(";"):
            connection.execute(part)
    relisted(members, "book.sqlite", path.read_bytes())


def _forged_other(members: dict[str, bytes], folder: Path) -> None:
    path = folder / "other.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE songs (name TEXT)")
    relisted(members, "book.sqlite", path.read_bytes())


BAD = {
    "one byte changed": (
        lambda m, _: m.update({"class.toml": b"# ouzel\n"}),
        "class.toml has not the SHA-256",
    ),
    "a file missing": (lambda m, _: m.pop("logs/evening.nmea"), "are not the ones"),
    "a file too many": (lambda m, _: m.update({"plays/extra.toml": b""}), "are not the ones"),
    "no manifest": (lambda m, _: m.pop("manifest.json"), "no manifest.json"),
    "manifest is no JSON": (lambda m, _: m.update({"manifest.json": b"{"}), "cannot be read"),
    "manifest of something else": (
        lambda m, _: m.update({"manifest.json": b'{"format": "x", "version": 9, "files": []}'}),
        "another kind",
    ),
    "a path that leaves the book": (
        lambda m, _: relisted(m, "logs/../../evil", b"x"),
        "is no file of a book",
    ),
    "an absolute path": (lambda m, _: relisted(m, "/evil", b"x"), "is no file of a book"),
    "a file that has no place": (lambda m, _: relisted(m, "bin/run", b"x"), "is no file of a book"),
    "a database that is none": (lambda m, _: relisted(m, "book.sqlite", b"text" * 999), "is not a database"),
    "a database of something else": (_forged_other, "is a database but no book"),
    "an entry taken out": (
        lambda m, f: _forged_database(
            m, "DROP TRIGGER entry_never_deleted;DELETE FROM entry WHERE id = 1", f
        ),
        "refers to a row",
    ),
    "a newer book": (
        lambda m, f: _forged_database(m, "UPDATE alembic_version SET version_num = '9999'", f),
        "was written by a newer Cringle",
    ),
    "a log that is another one": (
        lambda m, _: relisted(m, "logs/evening.nmea", b"other"),
        "not the file that was recorded",
    ),
}


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("what", BAD)
def test_a_bad_backup_replaces_nothing(full: Book, tmp_path: Path, what: str) -> None:
    change, words = BAD[what]
    backup(full, tmp_path / "b.zip")
    full.close()
    bad = repacked(tmp_path / "b.zip", tmp_path / "bad.zip", lambda members: change(members, tmp_path))
    before = sorted(path.name for path in tmp_path.iterdir())
    kept = contents(full.directory)
    with pytest.raises(BookError, match=words) as refused:
        restore_backup(bad, full.directory, replace=True)
    assert refused.value.next_step
    assert contents(full.directory) == kept
    assert sorted(path.name for path in tmp_path.iterdir()) == before, "no pieces left"


def test_every_truncation_of_a_backup_is_refused(full: Book, tmp_path: Path) -> None:
    whole = tmp_path / "b.zip"
    backup(full, whole)
    data = whole.read_bytes()
    for length in range(0, len(data), max(1, len(data) // 60)):
        (tmp_path / "cut.zip").write_bytes(data[:length])
        with pytest.raises(BookError, match="cannot be used"):
            restore_backup(tmp_path / "cut.zip", tmp_path / "again")
    assert not (tmp_path / "again").exists()


def test_flipped_bytes_never_bring_back_something_else(full: Book, tmp_path: Path) -> None:
    whole = tmp_path / "b.zip"
    backup(full, whole)
    data = bytearray(whole.read_bytes())
    expected = full.history()
    for place in range(0, len(data), max(1, len(data) // 80)):
        data[place] ^= 0xFF
        (tmp_path / "flipped.zip").write_bytes(data)
        data[place] ^= 0xFF
        target = tmp_path / f"again-{place}"
        try:
            restore_backup(tmp_path / "flipped.zip", target)
        except BookError:
            assert not target.exists()
        else:  # a byte of no meaning, such as a time stamp
            with Book.open(target) as again:
                assert again.history() == expected


def test_a_backup_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        restore_backup(tmp_path / "none.zip", tmp_path / "x")
