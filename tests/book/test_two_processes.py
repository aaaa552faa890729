"""Two processes write to one book at once; each write is one turn, and no change is lost."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from cringle.book.store import Book

PROGRAM = """
import sys
from pathlib import Path
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import ConflictError

name, turns = sys.argv[2], int(sys.argv[3])
conflicts = 0
with Book.open(Path(sys.argv[1]), create=True, who=name) as book:
    for turn in range(turns):
        note = NewEntry("observation", name, {"turn": turn})
        book.write([note, note], why="x")
        while True:
            seen = book.one("setting", "shared")
            value, base = (seen.value, seen.id) if seen else (0, None)
            try:
                more = NewEntry("setting", "shared", {"value": value + 1}, base_id=base)
                book.write([more], why="one more")
                break
            except ConflictError:
                conflicts += 1
print(conflicts)
"""


def start(directory: Path, name: str, turns: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM, str(directory), name, str(turns)], stdout=subprocess.PIPE, text=True
    )


def test_no_change_is_lost_and_no_batch_is_torn(tmp_path: Path) -> None:
    directory, turns = tmp_path / "brindle", 60
    running = [start(directory, name, turns) for name in ("Ines", "Tobias", "Keo")]
    conflicts = 0
    for process in running:
        out, _ = process.communicate(timeout=120)
        assert process.returncode == 0
        conflicts += int(out)
    with Book.open(directory) as book:
        shared = book.one("setting", "shared")
        assert shared is not None
        assert shared.value == len(running) * turns, "every increment counted once"
        assert len(book.history("refused")) == conflicts, "every refused value is kept"
        for name in ("Ines", "Tobias", "Keo"):
            written = book.history("observation", subject=name)
            assert [entry.payload["turn"] for entry in written] == [
                turn for turn in range(turns) for _ in range(2)
            ]
            pairs = zip(written[::2], written[1::2], strict=True)
            assert all(two.id == one.id + 1 and two.batch_uid == one.batch_uid for one, two in pairs)
        assert book.check() == []


def test_both_may_make_the_book(tmp_path: Path) -> None:
    for turn in range(3):
        running = [start(tmp_path / f"b{turn}", name, 1) for name in ("Ines", "Tobias")]
        for process in running:
            process.communicate(timeout=60)
            assert process.returncode == 0
        with Book.open(tmp_path / f"b{turn}") as book:
            assert book.one("setting", "shared").value == 2  # type: ignore[union-attr]
