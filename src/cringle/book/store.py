"""The records of one boat: open the book, write a batch, read what stands, show or restore any earlier state.

>>> from cringle.book.entries import NewEntry, number_payload            # doctest: +SKIP
>>> with Book.open(Path("brindle"), who="Ines") as book:                 # doctest: +SKIP
...     seen = book.current("setting", subject="table", wind_kn=8.0)
...     book.write([NewEntry("setting", "table", number_payload(...), base_id=seen[0].id)], why="felt slow")
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self, Unpack

from sqlalchemy import Engine, select

from cringle.book import fits as fit_rows
from cringle.book.check import check_database, check_files
from cringle.book.connect import engine_for, reading, writing
from cringle.book.entries import CellFilter, Entry, KeyFilter, NewEntry
from cringle.book.exchange import ImportReport, Prefer, Travelling, export_entries, import_entries
from cringle.book.failures import explained
from cringle.book.fits import Fit, NewFit
from cringle.book.identifiers import uuid7
from cringle.book.ledger import Outcome, Stamp, newest_id, put
from cringle.book.migrate import bring_up_to_date, make_database
from cringle.book.names import DATABASE_NAME, LOGS_NAME
from cringle.book.past import entries_naming_files, history_rows, restore_batch, table_then, way_back
from cringle.book.rows import entry_of, matches
from cringle.book.schema import CURRENT
from cringle.errors import BookError, ConflictError, Finding, InputError


def utc_now() -> datetime:
    """Return the present instant, UTC."""
    return datetime.now(UTC)


class Book:
    """The history of one boat, in one directory.

    Make one with `Book.open`; use it as a context manager. Several processes and threads may use the same
    book at once: each write is one transaction that waits for its turn.

    Parameters
    ----------
    directory : Path
        The book's directory.
    engine : Engine
        The opened database.
    who : str
        Who writes: kept with every entry.
    device : str or None
        On which device.
    clock : callable
        Gives the present instant, UTC; another one only for demos and tests.
    """

    def __init__(
        self, directory: Path, engine: Engine, *, who: str, device: str | None, clock: Callable[[], datetime]
    ) -> None:
        self.directory = directory
        self.path = directory / DATABASE_NAME
        self.who = who
        self.device = device
        self._engine = engine
        self._clock = clock

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        create: bool = False,
        who: str = "crew",
        device: str | None = None,
        clock: Callable[[], datetime] = utc_now,
    ) -> Self:
        """Open the book in a directory; an older database is brought up to date.

        Parameters
        ----------
        path : Path
            The book's directory.
        create : bool
            Make the directory and an empty database where there is none.
        who, device, clock
            Kept with every entry; see `Book`.

        Raises
        ------
        BookError
            There is no book, or it is locked, read-only, damaged, or from a newer Cringle.
        """
        if not who.strip():
            raise InputError("who writes is empty", next_step="give a name with --who")
        database = path / DATABASE_NAME
        with explained(path):
            _find_or_make(database, create=create)
        engine = engine_for(database)
        bring_up_to_date(engine, database)
        return cls(path, engine, who=who, device=device, clock=clock)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database; nothing is lost when this is never called."""
        self._engine.dispose()

    @property
    def logs(self) -> Path:
        """Where original logs, tracks and photos are kept."""
        return self.directory / LOGS_NAME

    def write(self, entries: Sequence[NewEntry], *, why: str) -> list[Entry]:
        """Write one batch, all of it or nothing; when this returns, it is on the disk.

        Parameters
        ----------
        entries : sequence of NewEntry
            Each carries the id its writer had seen (`NewEntry.base_id`).
        why : str
            The reason, in the words of who writes.

        Returns
        -------
        list of Entry
            The entries as they stand; one whose uid was there already comes back as it was.

        Raises
        ------
        ConflictError
            A cell no longer holds what its writer had seen. Nothing of the batch counts; the refused
            values are kept in the history as kind ``refused``.
        BookError
            The book is locked, read-only or damaged, or the disk is full.
        """
        if not entries:
            return []
        with writing(self._engine, self.path) as connection:
            outcome: Outcome = put(connection, entries, _stamp(self, why))
        if outcome.clashes:
            raise ConflictError(list(outcome.clashes))
        return list(outcome.entries)

    def current(self, kind: str, *, include_blank: bool = False, **where: Unpack[KeyFilter]) -> list[Entry]:
        """Return the newest entry of each cell of a kind, emptied cells left out unless asked for.

        Ordered as first written. A filter that is left out matches everything; None matches an unused part.
        """
        wanted = (
            select(CURRENT).where(CURRENT.c.kind == kind, *matches(CURRENT, where)).order_by(CURRENT.c.id)
        )
        with reading(self._engine, self.path) as connection:
            found = [entry_of(row) for row in connection.execute(wanted)]
        return [entry for entry in found if include_blank or not entry.is_blank]

    def one(self, kind: str, subject: str, **where: Unpack[CellFilter]) -> Entry | None:
        """Return the newest entry of one cell, emptied or not; None when nothing was ever written there.

        Parts of the key that are not given are taken as unused.
        """
        unused: CellFilter = {"sail_set": None, "sea": None, "wind_kn": None, "gear": None, "role": None}
        cell: KeyFilter = {**unused, **where, "subject": subject}
        found = self.current(kind, include_blank=True, **cell)
        return found[0] if found else None

    def history(
        self,
        kind: str | None = None,
        *,
        until: datetime | int | None = None,
        limit: int | None = None,
        **where: Unpack[KeyFilter],
    ) -> list[Entry]:
        """Return entries as written, oldest first, up to an instant or id; `limit` keeps the newest."""
        with reading(self._engine, self.path) as connection:
            return history_rows(connection, kind, until=until, limit=limit, where=where)

    def as_of(self, at: datetime | int, kind: str, *, include_blank: bool = False) -> list[Entry]:
        """Return the table of a kind as it stood at an instant, or just after an entry was written."""
        with reading(self._engine, self.path) as connection:
            found = table_then(connection, kind, at)
        return [entry for entry in found if include_blank or not entry.is_blank]

    def restore(
        self, kind: str | Sequence[str], at: datetime | int, *, why: str | None = None
    ) -> list[Entry]:
        """Bring back the tables of one or more kinds as they stood then; nothing is deleted.

        Returns the entries written, one batch: only cells that differ. A cell that did not exist then is
        emptied.
        """
        reason = why or f"back to {f'entry {at}' if isinstance(at, int) else at.isoformat()}"
        with writing(self._engine, self.path) as connection:
            return restore_batch(connection, _names_of(kind), at, _stamp(self, reason))

    def would_restore(self, kind: str | Sequence[str], at: datetime | int) -> list[NewEntry]:
        """Return what `restore` would write, without writing it."""
        with reading(self._engine, self.path) as connection:
            return way_back(connection, _names_of(kind), at)

    def export_entries(self) -> list[Travelling]:
        """Return the whole history, ready to travel to another copy of this book."""
        with reading(self._engine, self.path) as connection:
            return export_entries(connection)

    def import_entries(self, entries: Sequence[Travelling], *, prefer: Prefer | None = None) -> ImportReport:
        """Take in entries of another copy of this book, each once, by uid.

        Raises
        ------
        ConflictError
            Both copies changed a cell and `prefer` does not say whose value stands; nothing was taken in.
        """
        with writing(self._engine, self.path) as connection:
            return import_entries(connection, entries, _stamp(self, "ours stands after an import"), prefer)

    def check(self) -> list[Finding]:
        """Return what is wrong with the records and the files they name; empty when all is well."""
        with reading(self._engine, self.path) as connection:
            found = check_database(connection, self.path)
            entries = [] if found else entries_naming_files(connection)
        return found + check_files(self.directory, entries)

    def now(self) -> datetime:
        """Return the present instant by the book's clock, UTC."""
        return self._clock()

    def newest(self) -> int:
        """Return the id of the newest entry, 0 for an empty book."""
        with reading(self._engine, self.path) as connection:
            return newest_id(connection)

    def save_fit(self, found: NewFit) -> Fit:
        """Keep fitted model factors."""
        with writing(self._engine, self.path) as connection:
            return fit_rows.save_fit(connection, found, self._clock())

    def fits(self) -> list[Fit]:
        """Return every fit, oldest first."""
        with reading(self._engine, self.path) as connection:
            return fit_rows.all_fits(connection)

    def latest_fit(self) -> Fit | None:
        """Return the newest fit, or None."""
        with reading(self._engine, self.path) as connection:
            return fit_rows.latest_fit(connection)


def _stamp(book: Book, why: str) -> Stamp:
    at = book.now()
    return Stamp(at=at, who=book.who, why=why, batch_uid=uuid7(at), device=book.device)


def _names_of(kind: str | Sequence[str]) -> Sequence[str]:
    return (kind,) if isinstance(kind, str) else kind


def _find_or_make(database: Path, *, create: bool) -> None:
    if database.exists():
        return
    if not create:
        raise BookError(
            f"{database.parent}: there is no book here",
            next_step="make one with `cringle book new`, or give --book DIR",
        )
    database.parent.mkdir(parents=True, exist_ok=True)
    make_database(database)
