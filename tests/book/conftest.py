from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book.entries import NewEntry, number_payload
from cringle.book.store import Book
from cringle.findings import Number, Source


class Clock:
    """One second later at every look."""

    def __init__(self) -> None:
        self.now = datetime(2026, 5, 1, 17, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def book(tmp_path: Path, clock: Clock) -> Iterator[Book]:
    with Book.open(tmp_path / "brindle", create=True, who="Ines", device="phone", clock=clock) as opened:
        yield opened


@pytest.fixture
def cell() -> Callable[..., NewEntry]:
    """Return a maker of one cell of the settings table."""

    def make(
        value: float = 4.0, *, wind_kn: float = 8.0, role: str = "jib_sheet_leeward", **more: object
    ) -> NewEntry:
        payload = number_payload(Number(value, "mark", Source.ENTERED))
        names: dict[str, object] = {"sail_set": "main+jib", "sea": "chop", "gear": "settled", **more}
        return NewEntry("setting", "table", payload, unit="mark", wind_kn=wind_kn, role=role, **names)  # type: ignore[arg-type]

    return make
