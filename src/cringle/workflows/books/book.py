"""Check a book, carry its history to another copy, back it up and bring it back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.backup import BackupReport, RestoreReport, backup, restore_backup
from cringle.book.entries import Entry
from cringle.book.exchange import ImportReport, Prefer, from_json_lines, to_json_lines
from cringle.book.names import DATABASE_NAME
from cringle.book.store import Book
from cringle.errors import BookError, BookFileError, CringleError, Finding, InputError
from cringle.workflows.book_open import open_records

MOST_IMPORT_BYTES = 500_000_000


@dataclass(frozen=True)
class BookReport:
    """What a check found: mistakes to mend, remarks to think about, and what was looked at."""

    folder: Path
    mistakes: tuple[Finding, ...]
    remarks: tuple[Finding, ...]
    looked_at: tuple[str, ...]

    @property
    def is_well(self) -> bool:
        """Whether there is nothing to mend."""
        return not self.mistakes


def check_book(folder: Path) -> BookReport:
    """Check the files of a book against each other, and its history against itself and the files it names.

    Everything that can still be looked at is looked at, whatever else is wrong.
    """
    mistakes: list[Finding] = []
    looked_at = []
    files = None
    try:
        files = read_book_files(folder)
        boat = files.boat_file
        looked_at.append(
            f"{boat.boat.name}: {len(boat.controls)} controls, {len(boat.screws)} screws, "
            f"{len(files.crew_file.people)} people, time zone {boat.boat.time_zone}"
        )
    except CringleError as error:
        mistakes += _findings(error)
    entries: list[Entry] = []
    try:
        with Book.open(folder) as book:
            mistakes += book.check()
            entries = _current(book)
            looked_at.append(f"history: {book.newest()} entries")
    except BookError as error:
        mistakes.append(Finding(error.message, path=folder / DATABASE_NAME, accepted=error.next_step))
    remarks = [] if files is None else list(orphans(files, entries))
    return BookReport(folder, tuple(mistakes), tuple(remarks), tuple(looked_at))


def _findings(error: CringleError) -> list[Finding]:
    return list(error.findings) if isinstance(error, BookFileError) else [Finding(error.message)]


def _current(book: Book) -> list[Entry]:
    kinds = ("setting", "mark_stage", "scale", "screw_lock", "rig_turns", "survey_state")
    return [entry for kind in kinds for entry in book.current(kind)]


def orphans(files: BookFiles, entries: list[Entry]) -> Iterator[Finding]:
    """Yield what the history says of a role, line, screw, sail set or item that the files no longer have."""
    boat = files.boat_file
    controls = {one.id for one in boat.controls} | {line.id for one in boat.controls for line in one.lines}
    screws = {one.id for one in boat.screws}
    known = {
        "setting": set(boat.roles()),
        "mark_stage": controls | screws,
        "scale": controls | screws,
        "screw_lock": screws,
        "rig_turns": screws,
        "survey_state": {one.id for one in files.survey_file.items},
    }
    sail_sets = {one.id for one in files.class_file.sail_sets}
    counts: dict[tuple[str, str], int] = {}
    for entry in entries:
        name = str(entry.key.role if entry.key.kind == "setting" else entry.key.subject)
        if name not in known[entry.key.kind]:
            counts[entry.key.kind, name] = counts.get((entry.key.kind, name), 0) + 1
        if entry.key.sail_set is not None and entry.key.sail_set not in sail_sets:
            counts["sail set", entry.key.sail_set] = counts.get(("sail set", entry.key.sail_set), 0) + 1
    for (kind, name), count in sorted(counts.items()):
        yield Finding(
            f"{count} entries of {kind} are about {name!r}, which the files no longer have",
            path=files.folder / DATABASE_NAME,
            accepted="put it back into the files, or leave it: the history keeps it and nothing shows it",
        )


def report_as_json(report: BookReport) -> dict[str, Any]:
    """Return a check as plain values."""
    return {
        "schema": 1,
        "well": report.is_well,
        "mistakes": [_finding_as_json(one) for one in report.mistakes],
        "remarks": [_finding_as_json(one) for one in report.remarks],
        "looked_at": list(report.looked_at),
    }


def _finding_as_json(finding: Finding) -> dict[str, Any]:
    return {**asdict(finding), "path": None if finding.path is None else str(finding.path)}


def back_up(folder: Path, target: Path, *, replace: bool = False) -> BackupReport:
    """Write the whole book to one file; see `cringle.book.backup.backup`."""
    with Book.open(folder) as book:
        return backup(book, target, replace=replace)


def bring_back(file: Path, folder: Path, *, replace: bool = False) -> RestoreReport:
    """Bring a backup back after checking it; see `cringle.book.backup.restore_backup`."""
    return restore_backup(file, folder, replace=replace)


def export_history(folder: Path, target: Path) -> int:
    """Write the whole history as JSON lines; return how many entries.

    Raises
    ------
    InputError
        The file is there already.
    """
    if target.exists():
        raise InputError(f"{target}: is there already", next_step="give another name")
    with open_records(folder) as records:
        entries = records.book.export_entries()
    write_atomically(target, to_json_lines(entries).encode("utf-8"))
    return len(entries)


def import_history(folder: Path, file: Path, *, who: str, prefer: Prefer | None = None) -> ImportReport:
    """Take in the history that another copy of this book wrote out; each entry counts once.

    Raises
    ------
    InputError
        The file cannot be read, or a line is no entry of a book; nothing is taken in.
    ConflictError
        Both changed a cell and `prefer` does not say whose value stands.
    """
    try:
        if file.stat().st_size > MOST_IMPORT_BYTES:
            raise InputError(f"{file}: larger than any history", next_step="check the path")
        text = file.read_text(encoding="utf-8")
    except OSError as error:
        raise InputError(f"{file}: cannot be read ({error.strerror})", next_step="check the path") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{file}: is not UTF-8 text", next_step="export the other book again") from error
    entries = from_json_lines(text, str(file))
    with open_records(folder, who=who) as records:
        return records.book.import_entries(entries, prefer=prefer)
