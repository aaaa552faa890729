"""The settings table as CSV: taken in once, given out whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cringle.boat.base import Posture
from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.entries import Entry, Key, NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.csv_table import Vocabulary, cues_csv, read_cues_csv, read_table_csv, table_csv
from cringle.settings.roles import role_scales
from cringle.settings.table import Cell, RowNote
from cringle.workflows.numbers.entries import ROW_KINDS, SETTING, cell_entry, note_entries, same_number
from cringle.workflows.numbers.settings import table_instant, whole_table


@dataclass(frozen=True)
class Imported:
    """What an import changed."""

    read: int
    written: int
    unchanged: int


def vocabulary(files: BookFiles) -> Vocabulary:
    """Return the words a table of this boat may use."""
    scales = role_scales(files.boat_file)
    return Vocabulary(
        sail_sets=tuple(one.id for one in files.class_file.sail_sets),
        units={role: scale.unit for role, scale in scales.items()},
        ranges={role: (scale.low, scale.high) for role, scale in scales.items()},
    )


def import_csv(
    folder: Path, table: Path | None, cues: Path | None = None, *, who: str, why: str = "import"
) -> Imported:
    """Take a table, its cues, or both into the book; the same file a second time changes nothing.

    Raises
    ------
    BookFileError
        A file has mistakes, all of them listed with line and column; nothing was written.
    """
    files = read_book_files(folder)
    words = vocabulary(files)
    cells = [] if table is None else read_table_csv(table, words)
    notes = [] if cues is None else read_cues_csv(cues, words, [one.value for one in Posture])
    with Book.open(folder, who=who) as book:
        return write_table(book, cells, notes, why=f"{why} of {', '.join(_names(table, cues))}")


def _names(*paths: Path | None) -> list[str]:
    return [one.name for one in paths if one is not None]


def write_table(book: Book, cells: Sequence[Cell], notes: Sequence[RowNote], *, why: str) -> Imported:
    """Write the cells and notes that differ from what stands in the book, as one batch."""
    kinds = {SETTING, *ROW_KINDS} if notes else {SETTING}
    stands = {one.key: one for kind in kinds for one in book.current(kind, include_blank=True)}
    wanted = [cell_entry(cell, None) for cell in cells]
    wanted += [entry for note in notes for entry in note_entries(note)]
    fresh = [_based(entry, stands) for entry in wanted if not _stands(entry, stands)]
    if fresh:
        book.write(fresh, why=why)
    return Imported(read=len(wanted), written=len(fresh), unchanged=len(wanted) - len(fresh))


def _based(entry: NewEntry, stands: dict[Key, Entry]) -> NewEntry:
    found = stands.get(entry.key)
    return replace(entry, base_id=None if found is None else found.id)


def _stands(entry: NewEntry, stands: dict[Key, Entry]) -> bool:
    found = stands.get(entry.key)
    if found is None:
        return False
    if found.number is None or entry.unit is None:
        return bool(found.value == entry.payload.get("value"))
    payload = entry.payload
    number = Number(
        float(payload["value"]),
        entry.unit,
        Source(payload["source"]),
        low=payload.get("low"),
        high=payload.get("high"),
    )
    return same_number(found.number, number) and found.payload.get("n") == payload.get("n")


def export_csv(folder: Path, *, as_of: str | None = None) -> tuple[str, str]:
    """Return the table and its cues as the texts of two CSV files, now or as they stood earlier."""
    files = read_book_files(folder)
    with Book.open(folder) as book:
        table = whole_table(book, table_instant(files, as_of))
    return table_csv(table.cells), cues_csv(table.notes)


def export_files(
    folder: Path, out: Path, cues: Path | None = None, *, as_of: str | None = None
) -> list[Path]:
    """Write the table, and its cues when asked, to CSV files; an older file is replaced whole.

    Raises
    ------
    InputError
        A target's folder does not exist, or both are the same file.
    """
    targets = [out] if cues is None else [out, cues]
    for target in targets:
        if not target.parent.is_dir():
            raise InputError(f"{target.parent}: no such folder", next_step="make it, or give another path")
    if len({target.resolve() for target in targets}) < len(targets):
        raise InputError(f"{out}: table and cues need two files", next_step="give --cues another name")
    for target, text in zip(targets, export_csv(folder, as_of=as_of), strict=False):
        write_atomically(target, text.encode("utf-8"))
    return targets
