"""A book as it stood: what reads the current state of a book reads an earlier one with this instead."""

from __future__ import annotations

from typing import Any

from cringle.book.entries import Entry
from cringle.book.store import Book


class BookThen:
    """A book as it stood just after an entry was written.

    Parameters
    ----------
    book : Book
        The open book.
    entry_id : int
        The entry.
    """

    def __init__(self, book: Book, entry_id: int) -> None:
        self._book, self._entry_id = book, entry_id

    def current(self, kind: str, **where: Any) -> list[Entry]:
        """Return the newest entry of each cell of a kind as they stood then; see `Book.current`."""
        found = self._book.as_of(self._entry_id, kind)
        return [one for one in found if all(getattr(one.key, name) == value for name, value in where.items())]

    def one(self, kind: str, subject: str) -> Entry | None:
        """Return what stood in a cell without further parts then, emptied or not; see `Book.one`."""
        found = self._book.as_of(self._entry_id, kind, include_blank=True)
        return next((one for one in found if one.key.subject == subject), None)

    def history(self, kind: str) -> list[Entry]:
        """Return the entries of a kind up to then, oldest first; see `Book.history`."""
        return self._book.history(kind, until=self._entry_id)
