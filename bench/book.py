"""Tonight's numbers out of ten years of history, inside the process."""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.store import Book
from cringle.workflows.numbers.tonight import tonight_records

ENTRIES = 100_000
REPEATS = 30
TARGET_MS = 20.0
WINDS_KN = (4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 22.0)
ROLES = tuple(f"role_{number}" for number in range(14))
SAIL_SETS = ("main+jib", "main+kite", "main+jib+kite")
SEAS = ("flat", "chop")
GEARS = ("build", "settled")


def cells() -> Iterator[NewEntry]:
    """Return the cells of a full settings table, 1344 of them, over and over."""
    turn = 0
    while True:
        turn += 1
        for sail_set in SAIL_SETS:
            for sea in SEAS:
                for wind_kn in WINDS_KN:
                    for gear in GEARS:
                        for role in ROLES:
                            payload = {"value": float(turn % 12), "source": "entered"}
                            yield NewEntry(
                                "setting", "table", payload, unit="mark", sail_set=sail_set, sea=sea,
                                wind_kn=wind_kn, gear=gear, role=role, base_id=REGARDLESS,
                            )  # fmt: skip


class _Years:
    """A clock that spreads the entries over ten years."""

    def __init__(self) -> None:
        self.now = datetime(2016, 5, 1, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(days=3650) * 1000 / ENTRIES
        return self.now


def filled(directory: Path) -> Book:
    """Return a book with `ENTRIES` entries."""
    source = cells()
    book = Book.open(directory, create=True, who="Ines", clock=_Years())
    for _ in range(ENTRIES // 1000):
        book.write([next(source) for _ in range(1000)], why="ten years")
    return book


def _median_ms(act: object, repeats: int = REPEATS) -> float:
    found = []
    for _ in range(repeats):
        start = time.perf_counter()
        act()  # type: ignore[operator]  # any callable
        found.append(1000.0 * (time.perf_counter() - start))
    return statistics.median(found)


def rows() -> list[dict[str, object]]:
    """Return the measured rows: reading tonight's numbers, a single change, and an earlier table."""
    with tempfile.TemporaryDirectory() as folder, filled(Path(folder) / "book") as book:
        tonight = _median_ms(lambda: tonight_records(book, "main+jib"))
        note = NewEntry("observation", "2026-05-01", {"text": "x"})
        change = _median_ms(lambda: book.write([note], why="x"))
        plain = _median_ms(lambda: _by_maximum(book))
    return [
        _row("what tonight reads of 100,000 entries, against GROUP BY", tonight, plain),
        {"name": "one acknowledged change", "ours": change, "theirs": None, "ratio": None, "unit": "ms",
         "target": None, "ok": True},
    ]  # fmt: skip


def _by_maximum(book: Book) -> object:
    return book.as_of(book.newest(), "setting")


def _row(name: str, ours: float, theirs: float) -> dict[str, object]:
    ratio = theirs / ours
    return {"name": name, "ours": ours, "theirs": theirs, "ratio": ratio, "unit": "ms", "target": TARGET_MS,
            "ok": ours < TARGET_MS}  # fmt: skip


if __name__ == "__main__":
    for row in rows():
        print(row)
