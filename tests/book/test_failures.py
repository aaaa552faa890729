"""A locked, read-only, damaged or full book: an error with its next step, and nothing lost."""

from __future__ import annotations

import errno
import os
import pickle
import resource
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from cringle.book import connect
from cringle.book.backup import backup
from cringle.book.entries import NewEntry
from cringle.book.failures import explained, file_failure
from cringle.book.store import Book
from cringle.errors import BookError

Cell = Callable[..., NewEntry]
NOBODY = 65534


def in_child(act: Callable[[], None], *, before: Callable[[], None]) -> tuple[str, str, str | None]:
    """Run something in a forked process and return the class, text and next step of what it raised."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        outcome: tuple[str, str, str | None] = ("nothing", "", None)
        try:
            before()
            act()
        except BaseException as error:
            outcome = (type(error).__name__, str(error), getattr(error, "next_step", None))
        os.write(writer, pickle.dumps(outcome))
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        told: tuple[str, str, str | None] = pickle.loads(pipe.read())
    os.waitpid(child, 0)
    return told


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connect, "BUSY_TIMEOUT_MS", 50)
    settings = ("PRAGMA busy_timeout = 50", *connect.SETTINGS[1:])
    monkeypatch.setattr(connect, "SETTINGS", settings)


@pytest.fixture
def public() -> Iterator[Path]:
    """Return a directory that every user of this machine can reach."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


def become_nobody() -> None:
    if os.geteuid() == 0:
        os.setgid(NOBODY)
        os.setuid(NOBODY)


@pytest.mark.usefixtures("impatient")
def test_a_locked_book_says_so_and_can_still_be_read(book: Book, cell: Cell) -> None:
    book.write([cell(4.0)], why="x")
    with Book.open(book.directory) as waiting, closing(sqlite3.connect(book.path)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(BookError, match="is locked by another program") as refused:
            waiting.write([cell(5.0, base_id=1)], why="y")
        assert refused.value.next_step is not None
        assert "close the other program" in refused.value.next_step
        assert [entry.value for entry in waiting.current("setting")] == [4.0]
        other.rollback()
        waiting.write([cell(5.0, base_id=1)], why="y")
    assert [entry.value for entry in book.current("setting")] == [5.0]


@pytest.mark.parametrize("what", ["file", "directory"])
def test_a_read_only_book_says_so(public: Path, cell: Cell, what: str) -> None:
    directory = public / "brindle"
    with Book.open(directory, create=True) as book:
        book.write([cell(4.0)], why="x")
    directory.chmod(0o555 if what == "directory" else 0o777)
    (directory / "book.sqlite").chmod(0o444 if what == "file" else 0o666)

    def act() -> None:
        with Book.open(directory) as other:
            other.write([cell(5.0, base_id=1)], why="y")

    name, words, next_step = in_child(act, before=become_nobody)
    directory.chmod(0o755)
    assert name == "BookError"
    assert str(directory) in words
    assert any(one in words for one in ("is read-only", "cannot be opened", "may not be opened"))
    assert next_step is not None
    assert "write" in next_step
    with Book.open(directory) as again:
        assert [entry.value for entry in again.current("setting")] == [4.0]


def test_a_directory_where_nothing_may_be_made(public: Path) -> None:
    (public / "brindle").mkdir()
    (public / "brindle").chmod(0o555)
    name, words, next_step = in_child(
        lambda: Book.open(public / "brindle", create=True).close(), before=become_nobody
    )
    assert (name, list((public / "brindle").iterdir())) == ("BookError", [])
    assert "may not be opened by you" in words
    assert next_step


def test_a_backup_to_where_one_may_not_write(public: Path, cell: Cell) -> None:
    with Book.open(public / "brindle", create=True) as book:
        book.write([cell(4.0)], why="x")
    for path in [public / "brindle", *(public / "brindle").iterdir()]:
        path.chmod(0o777)

    def act() -> None:
        with Book.open(public / "brindle") as other:
            backup(other, public / "b.zip")

    name, _, next_step = in_child(act, before=become_nobody)
    assert name == "BookError"
    assert next_step
    assert sorted(path.name for path in public.iterdir()) == ["brindle"]


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda data: b"this is no database at all, only text. " * 200, "is not a database"),
        (lambda data: data[: len(data) // 2], "is damaged"),
        (lambda data: data[:100] + b"\xff" * (len(data) - 100), "is damaged"),
        (lambda data: b"", "is a database but no book"),
    ],
    ids=["text", "cut in half", "overwritten", "empty"],
)
def test_a_ruined_file_says_so(book: Book, cell: Cell, spoil: Callable[[bytes], bytes], words: str) -> None:
    book.write([cell(float(step), wind_kn=float(step)) for step in range(40)], why="x")
    book.close()
    ruined = spoil(book.path.read_bytes())
    book.path.write_bytes(ruined)
    with pytest.raises(BookError, match=words) as refused, Book.open(book.directory) as again:
        again.current("setting")
        found = again.check()
        raise BookError("; ".join(str(one) for one in found).replace("damaged", "is damaged"), next_step="x")
    assert refused.value.next_step
    assert book.path.read_bytes() == ruined, "nothing was written over it"


def test_a_full_disk_loses_nothing_acknowledged(
    book: Book, cell: Cell, monkeypatch: pytest.MonkeyPatch
) -> None:
    book.write([cell(4.0)], why="x")
    with closing(sqlite3.connect(book.path)) as connection:
        pages = connection.execute("PRAGMA page_count").fetchone()[0] + 3
    monkeypatch.setattr(connect, "SETTINGS", (*connect.SETTINGS, f"PRAGMA max_page_count = {pages}"))
    acknowledged = [1]
    with Book.open(book.directory) as small, pytest.raises(BookError, match="the disk is full") as refused:
        for step in range(500):
            batch = small.write(
                [cell(1.0, wind_kn=20.0 + step), cell(2.0, wind_kn=20.5 + step)], why="long words " * 50
            )
            acknowledged += [entry.id for entry in batch]
    assert refused.value.next_step is not None
    assert "make room" in refused.value.next_step
    monkeypatch.undo()
    with Book.open(book.directory) as again:
        assert [entry.id for entry in again.history()] == acknowledged
        assert again.check() == []
        again.write([cell(1.0, wind_kn=400.0)], why="there is room again")


def test_a_file_that_may_not_grow_loses_nothing_acknowledged(public: Path, cell: Cell) -> None:
    with Book.open(public / "brindle", create=True) as book:
        book.write([cell(4.0)], why="x")
    log = public / "acknowledged"

    def small_files() -> None:
        limit = (public / "brindle" / "book.sqlite").stat().st_size + 40_000
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    def act() -> None:
        with Book.open(public / "brindle") as other, log.open("a", encoding="utf-8") as out:
            for step in range(500):
                (entry,) = other.write([cell(1.0, wind_kn=20.0 + step)], why="long words " * 100)
                out.write(f"{entry.id}\n")
                out.flush()

    name, words, next_step = in_child(act, before=small_files)
    assert name == "BookError", words
    assert next_step is not None
    assert "half-written" in next_step
    acknowledged = [int(line) for line in log.read_text(encoding="utf-8").split()]
    assert acknowledged, "something was written before the disk was full"
    with Book.open(public / "brindle") as again:
        assert [entry.id for entry in again.history()][: len(acknowledged) + 1] == [1, *acknowledged]
        assert again.check() == []


def test_a_backup_on_a_full_disk_leaves_no_piece(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("zipfile.ZipFile.write", full)
    (tmp_path / "b.zip").write_bytes(b"the last one")
    with pytest.raises(BookError, match="the disk is full"):
        backup(book, tmp_path / "b.zip", replace=True)
    assert (tmp_path / "b.zip").read_bytes() == b"the last one"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["b.zip", "brindle"]


def test_a_file_in_the_place_of_the_directory(tmp_path: Path) -> None:
    (tmp_path / "brindle").write_bytes(b"")
    with pytest.raises(BookError, match="is a file where a directory is needed"):
        Book.open(tmp_path / "brindle", create=True)


def test_every_error_has_a_next_step(tmp_path: Path) -> None:
    for code in (errno.EACCES, errno.EROFS, errno.ENOSPC, errno.EIO, errno.ENOENT, 9999):
        error = file_failure(tmp_path, OSError(code, os.strerror(code)))
        assert error.next_step
        assert str(tmp_path) in error.message


def test_a_failure_of_bare_sqlite_is_explained_too(tmp_path: Path) -> None:
    with pytest.raises(BookError, match="cannot be opened"), explained(tmp_path):
        sqlite3.connect(tmp_path / "none" / "book.sqlite")
    with pytest.raises(BookError, match=r"failed \(no such table") as refused, explained(tmp_path):
        sqlite3.connect(":memory:").execute("SELECT * FROM songs")
    assert refused.value.next_step == "run `cringle book check`"
