"""Opening a book: its files, read and checked, and its history."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.book.store import Book


@dataclass(frozen=True)
class Records:
    """A book that is open: what the boat is (`files`) and what happened (`book`)."""

    files: BookFiles
    book: Book

    @property
    def zone(self) -> ZoneInfo:
        """The boat's time zone."""
        return ZoneInfo(self.files.boat_file.boat.time_zone)


@contextmanager
def open_records(folder: Path, *, who: str = "coach", device: str | None = None) -> Iterator[Records]:
    """Open the book in a folder; an empty history is made where there is none yet.

    Raises
    ------
    BookFileError
        A TOML file has mistakes; all are listed.
    BookError
        The history cannot be read or written.
    """
    files = read_book_files(folder)
    with Book.open(folder, create=True, who=who, device=device) as book:
        yield Records(files, book)
