"""What is acknowledged has been asked to be on the disk first: the system calls themselves are looked at.

kill -9 alone does not show this, because the system keeps what a killed process wrote. What a disk does with
a sync it confirmed is outside anybody's test.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from traced import AVAILABLE, Call, traced

from cringle.boat.write import write_atomically
from cringle.book import connect
from cringle.book.backup import backup, restore_backup
from cringle.book.entries import NewEntry
from cringle.book.files import copy_file
from cringle.book.store import Book

pytestmark = pytest.mark.skipif(not AVAILABLE, reason="system calls are traced on Linux x86-64 only")
SYNCS = ("fsync", "fdatasync")
RENAMES = ("rename", "renameat", "renameat2", "link", "linkat")
Cell = Callable[..., NewEntry]


def calls_of(act: Callable[[], None]) -> list[Call]:
    try:
        return traced(act)
    except PermissionError as error:
        pytest.skip(str(error))


def assert_rename_is_safe(calls: list[Call], target: Path, parts: str) -> None:
    """The new content is synced before it gets its name, and the directory after."""
    (at,) = [index for index, call in enumerate(calls) if call.name in RENAMES and call.path == str(target)]
    written = [index for index, call in enumerate(calls[:at]) if "write" in call.name and parts in call.path]
    before = [index for index, call in enumerate(calls[:at]) if call.name in SYNCS and parts in call.path]
    after = [call for call in calls[at:] if call.name in SYNCS and call.path == str(target.parent)]
    assert before, f"{target} was renamed without a sync"
    assert not written or max(before) > max(written), "something was written after the last sync"
    assert after, f"the directory of {target} was not synced after the rename"


def test_a_write_returns_after_its_log_was_synced(book: Book, cell: Cell, tmp_path: Path) -> None:
    book.close()
    acknowledged = tmp_path / "acknowledged"

    def act() -> None:
        with Book.open(book.directory) as other, acknowledged.open("wb", buffering=0) as out:
            for step in range(5):
                other.write([cell(float(step), wind_kn=float(step))], why="x")
                out.write(b"done")

    calls = calls_of(act)
    log = f"{book.path}-wal"
    done = [index for index, call in enumerate(calls) if call.path == str(acknowledged)]
    assert len(done) == 5
    start = 0
    for at in done:
        mine = calls[start:at]
        written = [index for index, call in enumerate(mine) if call.name == "pwrite64" and call.path == log]
        synced = [index for index, call in enumerate(mine) if call.name in SYNCS and call.path == log]
        assert written, "the change went to the log"
        assert synced, "the log was synced"
        assert max(synced) > max(written), "nothing was written to the log after its last sync"
        start = at


def test_this_test_notices_a_missing_sync(book: Book, cell: Cell, monkeypatch: pytest.MonkeyPatch) -> None:
    settings = tuple(one.replace("FULL", "OFF") for one in connect.SETTINGS)
    monkeypatch.setattr(connect, "SETTINGS", settings)
    book.close()

    def act() -> None:
        with Book.open(book.directory) as other:
            other.write([cell(4.0)], why="x")

    assert not [call for call in calls_of(act) if call.name in SYNCS]


def test_a_new_book_gets_its_name_when_it_is_whole(tmp_path: Path) -> None:
    calls = calls_of(lambda: Book.open(tmp_path / "brindle", create=True).close())
    assert_rename_is_safe(calls, tmp_path / "brindle" / "book.sqlite", ".part")


def test_a_toml_file(tmp_path: Path) -> None:
    target = tmp_path / "boat.toml"
    target.write_bytes(b"old")
    assert_rename_is_safe(calls_of(lambda: write_atomically(target, b"new")), target, ".boat.toml.")


def test_a_copied_log(tmp_path: Path) -> None:
    source, target = tmp_path / "evening.nmea", tmp_path / "logs" / "evening.nmea"
    source.write_bytes(b"$GPRMC" * 1000)
    calls = calls_of(lambda: copy_file(source, target))
    assert_rename_is_safe(calls, target, ".part")
    assert Call("fsync", str(tmp_path)) in calls, "the new directory's own name"


def test_a_backup_and_its_return(book: Book, cell: Cell, tmp_path: Path) -> None:
    book.write([cell(4.0)], why="x")
    book.close()
    (book.directory / "class.toml").write_bytes(b"# Ouzel\n")
    calls = calls_of(lambda: backup(Book.open(book.directory), tmp_path / "b.zip") and None)
    assert_rename_is_safe(calls, tmp_path / "b.zip", ".part")
    calls = calls_of(lambda: restore_backup(tmp_path / "b.zip", tmp_path / "again") and None)
    assert_rename_is_safe(calls, tmp_path / "again", "/class.toml")
    assert [call for call in calls if call.name in SYNCS and call.path.endswith("/book.sqlite")]


def test_a_replaced_book_is_exchanged_in_one_step(book: Book, cell: Cell, tmp_path: Path) -> None:
    book.write([cell(4.0)], why="x")
    backup(book, tmp_path / "b.zip")
    book.close()
    calls = calls_of(lambda: restore_backup(tmp_path / "b.zip", book.directory, replace=True) and None)
    names = [call for call in calls if call.name in RENAMES and Path(call.path).parent == tmp_path]
    assert names[0] == Call("renameat2", str(book.directory))
    after = calls[calls.index(names[-1]) :]
    assert [call for call in after if call.name == "fsync" and call.path == str(tmp_path)]
