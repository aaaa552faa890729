"""A first book: files, an empty history, and a first table in which a guess is a guess."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from cringle.boat.book_files import FILE_NAMES, BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.entries import NewEntry
from cringle.book.failures import explained
from cringle.book.files import sha256_of
from cringle.book.names import PLAYS_NAME
from cringle.book.store import Book
from cringle.book.swap import put_in_place
from cringle.errors import BookFileError, CringleError, InputError
from cringle.workflows.numbers.entries import ROW_KINDS, SETTING, cell_entry, note_entries, table_of
from cringle.workflows.start.new_answers import Answers
from cringle.workflows.start.new_files import new_files
from cringle.workflows.start.new_table import FirstTable, Side, blank, starting, translated
from cringle.workflows.survey import survey_add_starter


@dataclass(frozen=True)
class MadeBook:
    """A book that was just made: where, whose, what its first table came from, and what to know about it."""

    folder: Path
    boat: str
    table: str
    cells: int
    guesses: int
    remarks: tuple[str, ...]


def make_book(folder: Path, answers: Answers, *, who: str) -> MadeBook:
    """Make a book from answers; it appears whole or not at all.

    Parameters
    ----------
    folder : Path
        Where it shall stand; must not exist, or be empty.
    answers : Answers
        See `QUESTIONS`.
    who : str
        Who makes it.

    Raises
    ------
    InputError
        The folder is not empty, or a file to start from is not there.
    BookFileError
        A file to start from has mistakes, or the answers do not fit the class (too many people, too heavy).
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise InputError(
            f"{folder}: is not empty", next_step="choose another folder; nothing is written over"
        )
    with explained(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", suffix=".part", dir=folder.parent))
        try:
            made = _fill(fresh, answers, who)
            fresh.chmod(0o755)
            put_in_place(fresh, folder)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
    files, first = made
    return MadeBook(
        folder=folder,
        boat=files.boat_file.boat.name,
        table=answers.table_choice,
        cells=len(first.cells),
        guesses=sum(cell.number.source == "guess" for cell in first.cells),
        remarks=first.remarks,
    )


def _fill(fresh: Path, answers: Answers, who: str) -> tuple[BookFiles, FirstTable]:
    with Book.open(fresh, create=True, who=who) as book:
        today = book.now().date()
        for name, text in new_files(answers, today).texts.items():
            write_atomically(fresh / name, text.encode("utf-8"))
        _copy_plays(answers, fresh)
        files = _read_back(fresh)
        first = first_table(answers, Side(files.boat_file, files.class_file))
        edits = [
            NewEntry("toml_edit", name, {"made": True, "sha256": sha256_of(fresh / name)})
            for name in FILE_NAMES
        ]
        book.write(edits, why="book made")
        book.write([*(cell_entry(cell, None) for cell in first.cells), *_notes(first)], why=_why(answers))
    remarks = [*first.remarks, *_starter_survey(answers, fresh, who)]
    return files, FirstTable(first.cells, first.notes, tuple(remarks))


def _read_back(fresh: Path) -> BookFiles:
    """Read the files just written; a mistake in them comes from the answers, so the folder is not named."""
    try:
        return read_book_files(fresh)
    except BookFileError as error:
        findings = [replace(one, path=Path(one.path.name) if one.path else None) for one in error.findings]
        raise BookFileError(findings, next_step="change the answers so that they fit the class") from error


def _notes(first: FirstTable) -> list[NewEntry]:
    return [entry for note in first.notes for entry in note_entries(note)]


def _why(answers: Answers) -> str:
    source = answers.table_book
    words = {
        "copy": f"first table, from {source}",
        "starting": "first table, starting values",
        "blank": "blank table",
    }
    return words[answers.table_choice]


def _copy_plays(answers: Answers, fresh: Path) -> None:
    if answers.from_book is not None:
        for path in sorted((Path(answers.from_book) / PLAYS_NAME).glob("*.toml")):
            (fresh / PLAYS_NAME).mkdir(exist_ok=True)
            write_atomically(fresh / PLAYS_NAME / path.name, path.read_bytes())


def _starter_survey(answers: Answers, fresh: Path, who: str) -> list[str]:
    """Add the generic survey to a book that starts from a class file; say so when it does not fit."""
    if answers.from_book is not None:
        return []
    try:
        survey_add_starter(fresh, who=who)
    except CringleError as error:
        return [f"the starter survey was left out: {error.message}"]
    return []


def first_table(answers: Answers, target: Side) -> FirstTable:
    """Return the first table as the answers want it.

    Raises
    ------
    InputError
        The book to copy from is not there.
    """
    source = answers.table_book
    if answers.table_choice == "copy" and source is not None:
        files = read_book_files(source)
        with Book.open(source) as book:
            kinds = (SETTING, *ROW_KINDS)
            table = table_of(entry for kind in kinds for entry in book.current(kind))
        return translated(table, Side(files.boat_file, files.class_file), target)
    return starting(target) if answers.table_choice == "starting" else blank()


def made_as_json(made: MadeBook) -> dict[str, Any]:
    """Return a made book as plain values."""
    return {
        "schema": 1,
        "folder": str(made.folder),
        "boat": made.boat,
        "table": made.table,
        "cells": made.cells,
        "guesses": made.guesses,
        "remarks": list(made.remarks),
    }
