"""Tonight's numbers: read the files and the book, ask the settings room."""

from __future__ import annotations

from pathlib import Path

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.book.entries import Entry
from cringle.book.store import Book
from cringle.settings.answer import Boat, answer, sail_set_asked
from cringle.settings.records import Records, TonightRequest
from cringle.settings.tonight import ModelAnswers, Tonight
from cringle.workflows.book_then import BookThen
from cringle.workflows.numbers.entries import CUE, HEEL, POSTURE, SETTING, SUBJECT, table_of


def tonight(folder: Path, request: TonightRequest, *, model: ModelAnswers | None = None) -> Tonight:
    """Return everything a crew needs half an hour before the start.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        Wind, sea, sails and people.
    model : ModelAnswers, optional
        What a speed model adds where the book has nothing of its own.

    Raises
    ------
    InputError
        There is no such book, or the request cannot be answered.
    BookError
        The records cannot be read.
    """
    files = read_book_files(folder)
    sail_set = sail_set_asked(files.class_file, request.sail_set)
    with Book.open(folder) as book:
        records = tonight_records(book, sail_set.id)
    return answer(boat_of(files), records, request, model=model)


def boat_of(files: BookFiles) -> Boat:
    """Return the part of a book's files that the settings room needs."""
    return Boat(files.class_file, files.boat_file, files.crew_file)


def tonight_records(book: Book | BookThen, sail_set: str) -> Records:
    """Return the current state of a book, as far as one sail set needs it."""
    entries = book.current(SETTING, subject=SUBJECT, sail_set=sail_set)
    entries += [*book.current(HEEL), *book.current(POSTURE), *book.current(CUE, sail_set=sail_set)]
    return Records(
        table=table_of(entries),
        locks={one.key.subject: str(one.value) for one in book.current("screw_lock")},
        turns={
            one.key.subject: one.number.value if one.number else float(one.value)
            for one in book.current("rig_turns")
        },
        goal=_open_text(book.current("goal")),
        trial=_open_text(book.current("trial")),
    )


def _open_text(entries: list[Entry]) -> str | None:
    """Return the words of the newest goal or trial that is still open."""
    still_open = [one for one in entries if one.payload.get("met") is None and not one.payload.get("closed")]
    newest = max(still_open, key=lambda one: one.id, default=None)
    if newest is None:
        return None
    words = newest.payload.get("text", newest.value)
    return None if words is None else str(words)
