"""What the book commands found or did, as text for people or as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from rich.markup import escape

from cringle.book.backup import BackupReport, RestoreReport
from cringle.book.entries import Entry, said
from cringle.book.exchange import ImportReport
from cringle.book.rows import time_text
from cringle.cli.common import console, emit_json
from cringle.workflows.books.book import BookReport, report_as_json
from cringle.workflows.books.history import Batch, Reverted, batch_as_json, reverted_as_json
from cringle.workflows.serving.pocket import PocketTaken
from cringle.workflows.start.new_book import MadeBook, made_as_json

SHOWN_CHANGES = 40


def _print(lines: Sequence[str] | Iterator[str]) -> None:
    screen = console()
    for line in lines:
        screen.print(escape(line), soft_wrap=True)


def show_report(report: BookReport, *, as_json: bool) -> None:
    """Print what a check found."""
    if as_json:
        emit_json(report_as_json(report))
        return
    _print(report.looked_at)
    _print([f"mistake: {one}" for one in report.mistakes])
    _print([f"remark: {one}" for one in report.remarks])
    count = len(report.mistakes)
    _print(["the book is well" if report.is_well else f"{count} mistake{'s' if count > 1 else ''} to mend"])


def show_history_of(batches: Sequence[Batch], *, as_json: bool) -> None:
    """Print batches of the history, newest last."""
    if as_json:
        emit_json({"schema": 1, "batches": [batch_as_json(one) for one in batches]})
        return
    for batch in batches:
        _print([f"{time_text(batch.at)[:16].replace('T', ' ')} UTC  {batch.who}: {batch.why}"])
        _print([f"  #{entry.id}  {entry_words(entry)}" for entry in batch.entries])
    if not batches:
        _print(["nothing of that kind was written yet"])


def entry_words(entry: Entry) -> str:
    """Return an entry as one line: where, what, and the provenance of a number."""
    number = entry.number
    source = "" if number is None else f" ({number.source}, {number.by})"
    return f"{entry.key} = {said(entry.payload, entry.unit)}{source}"


def show_reverted(done: Reverted, *, as_json: bool) -> None:
    """Print what going back changed, or would change."""
    if as_json:
        emit_json(reverted_as_json(done))
        return
    _print([f"  {one.key} → {said(one.payload, one.unit)}" for one in done.changes[:SHOWN_CHANGES]])
    if len(done.changes) > SHOWN_CHANGES:
        _print([f"  and {len(done.changes) - SHOWN_CHANGES} more"])
    count = len(done.changes)
    if done.written is None:
        _print([f"{count} cells would change; nothing was written"])
    else:
        _print([f"{count} cells changed, as new entries; cringle book revert takes this back"])


def show_backup(report: BackupReport, *, as_json: bool) -> None:
    """Print what a backup holds."""
    if as_json:
        emit_json(
            {
                "schema": 1,
                "path": str(report.path),
                "files": report.files,
                "bytes": report.bytes,
                "entries": report.entries,
                "made_at_utc": time_text(report.made_at),
            }
        )
        return
    _print(
        [f"{report.path}: {report.files} files, {report.entries} entries, {report.bytes:,} bytes unpacked"]
    )


def show_restored(report: RestoreReport, *, as_json: bool) -> None:
    """Print where a book was brought back to."""
    aside = None if report.replaced is None else str(report.replaced)
    if as_json:
        data = {"folder": str(report.directory), "files": report.files, "replaced": aside}
        emit_json({"schema": 1, **data})
        return
    _print([f"{report.directory}: {report.files} files, checked"])
    if aside is not None:
        _print([f"the book that stood there is now {aside}"])


def show_import(report: ImportReport, *, as_json: bool) -> None:
    """Print what came of an import."""
    if as_json:
        emit_json({"schema": 1, **asdict(report)})
        return
    _print([f"{report.added} entries taken in, {report.already_there} were there already"])
    _print([f"both changed {one.key}: here {one.yours}, there {one.theirs}" for one in report.clashes])


def show_made(made: MadeBook, *, as_json: bool) -> None:
    """Print what a new book holds and what to do next."""
    if as_json:
        emit_json(made_as_json(made))
        return
    _print([f"{made.folder}: the book of {made.boat}; first table: {made.table}, {made.cells} cells"])
    if made.guesses:
        _print([f"{made.guesses} of them are guesses, and say so wherever they are shown"])
    _print([f"  {remark}" for remark in made.remarks])
    _print([f"next: cringle book check {made.folder}, then: cringle settings mark-up --book {made.folder}"])


def show_pocket_taken(taken: PocketTaken, *, as_json: bool) -> None:
    """Print what came of taking in what a pocket page gave out."""
    if as_json:
        emit_json({"schema": 1, **asdict(taken)})
        return
    where = f" into {', '.join(taken.outings)}" if taken.outings else ""
    _print([f"{taken.taken} notes taken in{where}, {taken.already_there} were there already"])
