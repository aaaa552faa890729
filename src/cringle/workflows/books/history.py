"""What was written, by whom and why, and one step back to any earlier table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from pathlib import Path
from typing import Any, Final
from uuid import UUID

from cringle.book.entries import Entry, KeyFilter, NewEntry, said
from cringle.book.rows import time_text
from cringle.errors import InputError
from cringle.settings.instants import earlier_table
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.entries import ROW_KINDS, SETTING

TABLE: Final = "table"
TABLE_KINDS: Final = (SETTING, *ROW_KINDS)
"""Kinds that together are the settings table; ``table`` names them all."""


@dataclass(frozen=True)
class Wanted:
    """Which part of the history somebody wants to see; what is None is not looked at."""

    kind: str | None = None
    subject: str | None = None
    role: str | None = None
    wind_kn: float | None = None
    who: str | None = None
    limit: int | None = 50


@dataclass(frozen=True)
class Batch:
    """What one person wrote in one go."""

    uid: UUID
    at: datetime
    who: str
    why: str
    entries: tuple[Entry, ...]

    @property
    def first(self) -> int:
        """Id of its first entry."""
        return self.entries[0].id


@dataclass(frozen=True)
class Reverted:
    """What going back wrote, or would write."""

    to: datetime | int
    changes: tuple[NewEntry, ...]
    written: tuple[Entry, ...] | None


def show_history(folder: Path, wanted: Wanted) -> list[Batch]:
    """Return the newest entries that match, as batches, oldest first."""
    with open_records(folder) as records:
        found = _matching(records, wanted)
    if wanted.who is not None:
        found = [entry for entry in found if entry.who.casefold() == wanted.who.casefold()]
    return batches(found[-wanted.limit :] if wanted.limit else found)


def _matching(records: Records, wanted: Wanted) -> list[Entry]:
    where: KeyFilter = {}
    if wanted.subject is not None:
        where["subject"] = wanted.subject
    if wanted.role is not None:
        where["role"] = wanted.role
    if wanted.wind_kn is not None:
        where["wind_kn"] = wanted.wind_kn
    kinds = [None] if wanted.kind is None else list(kinds_named(wanted.kind))
    found = [entry for kind in kinds for entry in records.book.history(kind, **where)]
    return sorted(found, key=lambda entry: entry.id)


def batches(entries: Sequence[Entry]) -> list[Batch]:
    """Return entries grouped by who wrote them in one go, in the order they were written."""
    found = []
    for uid, group in groupby(entries, key=lambda entry: entry.batch_uid):
        together = tuple(group)
        found.append(Batch(uid, together[0].at, together[0].who, together[0].why, together))
    return found


def kinds_named(kind: str) -> tuple[str, ...]:
    """Return the kinds that a name means: ``table`` is the whole settings table."""
    return TABLE_KINDS if kind == TABLE else (kind,)


@dataclass(frozen=True)
class Back:
    """How far to go back: to a moment (`to`), or so many batches (`steps`)."""

    kind: str = TABLE
    to: str | None = None
    steps: int = 1
    why: str | None = None


def revert(folder: Path, back: Back, *, who: str, only_show: bool = False) -> Reverted:
    """Bring back an earlier table as new entries; nothing is deleted, and going back can be taken back.

    Raises
    ------
    InputError
        There is no such moment, not so many steps, or the kind is of things that happened.
    """
    with open_records(folder, who=who) as records:
        kinds = kinds_named(back.kind)
        to = _target(records, back, kinds)
        changes = tuple(records.book.would_restore(kinds, to))
        written = None if only_show else tuple(records.book.restore(kinds, to, why=back.why))
    return Reverted(to, changes, written)


def _target(records: Records, back: Back, kinds: Sequence[str]) -> datetime | int:
    if back.to is not None:
        return earlier_table(back.to, records.zone.key)
    found = [entry for kind in kinds for entry in records.book.history(kind)]
    steps = batches(sorted(found, key=lambda entry: entry.id))
    if not 1 <= back.steps <= len(steps):
        raise InputError(
            f"{back.steps} steps back: {len(steps)} changes of {back.kind} are in the history",
            next_step="see them with: cringle book history --kind " + back.kind,
        )
    return steps[-back.steps].first - 1


def batch_as_json(batch: Batch) -> dict[str, Any]:
    """Return a batch as plain values."""
    return {
        "batch_uid": str(batch.uid),
        "at_utc": time_text(batch.at),
        "who": batch.who,
        "why": batch.why,
        "entries": [entry_as_json(entry) for entry in batch.entries],
    }


def entry_as_json(entry: Entry) -> dict[str, Any]:
    """Return an entry as plain values."""
    key = entry.key
    return {
        "id": entry.id,
        "uid": str(entry.uid),
        "kind": key.kind,
        "subject": key.subject,
        "sail_set": key.sail_set,
        "sea": key.sea,
        "wind_kn": key.wind_kn,
        "gear": key.gear,
        "role": key.role,
        "value": dict(entry.payload),
        "unit": entry.unit,
        "base_id": entry.base_id,
        "device": entry.device,
    }


def reverted_as_json(done: Reverted) -> dict[str, Any]:
    """Return what going back did as plain values."""
    return {
        "schema": 1,
        "to": done.to if isinstance(done.to, int) else time_text(done.to),
        "written": done.written is not None,
        "changes": [{"key": str(one.key), "to": said(one.payload, one.unit)} for one in done.changes],
    }
