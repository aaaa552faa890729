"""What the crew reads while they race: records, files and answers as they stood at the preparatory signal.

The files of a book are edited by hand, so their text is kept in the history: when the signal is set, at each
look before it, and when the content is fixed. A signal that passes unseen is answered from what was kept
before it.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Final

from cringle.boat.book_files import FILE_NAMES, BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.entries import Entry, NewEntry
from cringle.book.store import Book
from cringle.settings.answer import answer, sail_set_asked
from cringle.settings.tonight import Tonight
from cringle.workflows.book_then import BookThen
from cringle.workflows.numbers.tonight import boat_of, tonight_records
from cringle.workflows.outings.evening import Evening
from cringle.workflows.speed.tonight import Stand, whole_answer

FILES_THEN: Final = "files_then"
BOAT: Final = "boat"
LOOK_BACK: Final = 64


def keep_files(book: Book) -> Entry:
    """Keep the text of the book's files as they stand; where it is kept already nothing is written."""
    texts = {name: (book.directory / name).read_text(encoding="utf-8") for name in FILE_NAMES}
    stands = book.one(FILES_THEN, BOAT)
    if stands is not None and dict(stands.payload.get("texts", {})) == texts:
        return stands
    payload = {"value": ", ".join(FILE_NAMES), "texts": texts}
    entry = NewEntry(FILES_THEN, BOAT, payload, base_id=None if stands is None else stands.id)
    return book.write([entry], why="files as the crew reads them")[0]


def files_then(book: Book, entry_id: int) -> Entry | None:
    """Return the entry that keeps the files as they were last seen up to an entry; None where none does."""
    return BookThen(book, entry_id).one(FILES_THEN, BOAT)


def files_of(book: Book, entry_id: int) -> BookFiles | None:
    """Return the files as they were last kept up to an entry; None where they never were.

    Raises
    ------
    BookFileError
        The text kept cannot be read by this version; the message has the line.
    """
    found = files_then(book, entry_id)
    return None if found is None else _read(book.directory, found.payload["texts"])


def _read(directory: Path, texts: Mapping[str, str]) -> BookFiles:
    with tempfile.TemporaryDirectory() as name:
        for file, text in texts.items():
            write_atomically(Path(name) / file, text.encode("utf-8"))
        return replace(read_book_files(Path(name)), folder=directory)


def newest_before(book: Book, at: datetime) -> int:
    """Return the newest entry before anything was written after an instant, 0 where there is none."""
    limit, newest = LOOK_BACK, book.newest()
    while True:
        last = book.history(limit=limit)
        later = [one.id for one in last if one.at > at]
        if not later:
            return newest
        if len(later) < len(last) or len(last) < limit:
            return min(later) - 1
        limit *= 4


def fixed_answer(folder: Path, book: Book, evening: Evening, *, with_model: bool = True) -> Tonight:
    """Return tonight as it stood at the preparatory signal, for the conditions of that instant.

    Parameters
    ----------
    folder : Path
        The book's folder.
    book : Book
        The open book.
    evening : Evening
        While racing.
    with_model : bool
        Whether what the speed model had answered before is shown too. Nothing is computed while they race.
    """
    entry_id = evening.fixed_at or 0
    then = files_of(book, evening.files_at or entry_id) or read_book_files(folder)
    sail_set = sail_set_asked(then.class_file, evening.request.sail_set)
    records = tonight_records(BookThen(book, entry_id), sail_set.id)
    if not with_model:
        return answer(boat_of(then), records, evening.request)
    fits = [one for one in book.fits() if evening.racing_since is None or one.at <= evening.racing_since]
    stand = Stand(then, records, fits[-1] if fits else None)
    return whole_answer(folder, stand, evening.request, may_compute=False)
