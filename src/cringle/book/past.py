"""Any earlier state: the history, the table as it stood, and the batch of new entries that brings it back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, func, select

from cringle.book.entries import (
    EVENT_KINDS,
    FILE_KINDS,
    KEY_FIELDS,
    Entry,
    Key,
    KeyFilter,
    NewEntry,
    blank_payload,
)
from cringle.book.ledger import Stamp, add
from cringle.book.rows import entry_of, matches, row_of_key, time_text
from cringle.book.schema import CURRENT, ENTRY
from cringle.errors import InputError


def history_rows(
    connection: Connection,
    kind: str | None,
    *,
    until: datetime | int | None,
    limit: int | None,
    where: KeyFilter,
) -> list[Entry]:
    """Return entries oldest first; `limit` keeps the newest ones."""
    wanted: Select[Any] = select(ENTRY).where(*matches(ENTRY, where)).order_by(ENTRY.c.id.desc())
    if kind is not None:
        wanted = wanted.where(ENTRY.c.kind == kind)
    if until is not None:
        wanted = wanted.where(_not_after(until))
    if limit is not None:
        wanted = wanted.limit(limit)
    return [entry_of(row) for row in connection.execute(wanted)][::-1]


def table_then(connection: Connection, kind: str, at: datetime | int) -> list[Entry]:
    """Return the newest entry of each key of a kind among those not after `at`, emptied cells too."""
    newest = (
        select(func.max(ENTRY.c.id))
        .where(ENTRY.c.kind == kind, _not_after(at))
        .group_by(*(ENTRY.c[name] for name in KEY_FIELDS))
    )
    rows = connection.execute(select(ENTRY).where(ENTRY.c.id.in_(newest)).order_by(ENTRY.c.id))
    return [entry_of(row) for row in rows]


def restore_batch(
    connection: Connection, kinds: Sequence[str], at: datetime | int, stamp: Stamp
) -> list[Entry]:
    """Write what makes the tables of some kinds equal to what they were at `at`; return the new entries."""
    return add(connection, way_back(connection, kinds, at), stamp)


def way_back(connection: Connection, kinds: Sequence[str], at: datetime | int) -> list[NewEntry]:
    """Return the entries that would make the tables of some kinds equal to what they were at `at`.

    Raises
    ------
    InputError
        A kind is an event: what happened stays happened.
    """
    changes: list[NewEntry] = []
    for kind in kinds:
        if kind in EVENT_KINDS:
            raise InputError(
                f"{kind} entries are events: they cannot be taken back", next_step="write a new one instead"
            )
        then = {entry.key: entry for entry in table_then(connection, kind, at)}
        rows = connection.execute(select(CURRENT).where(CURRENT.c.kind == kind).order_by(CURRENT.c.id))
        changes += differences(then, {entry.key: entry for entry in map(entry_of, rows)})
    return changes


def differences(then: Mapping[Key, Entry], now: Mapping[Key, Entry]) -> list[NewEntry]:
    """Return the entries that turn the table of now into the table of then."""
    changes = []
    for key, stands in now.items():
        earlier = then.get(key)
        payload = blank_payload() if earlier is None else dict(earlier.payload)
        unit = stands.unit if earlier is None else earlier.unit
        same = (
            stands.is_blank if "value" in payload and payload["value"] is None else payload == stands.payload
        )
        if not (same and unit == stands.unit):
            changes.append(NewEntry(**_names(key), payload=payload, unit=unit, base_id=stands.id))
    return changes


def entries_naming_files(connection: Connection) -> list[Entry]:
    """Return every entry whose payload names a file kept in the book."""
    named = func.json_extract(ENTRY.c.value_json, "$.file").is_not(None)
    rows = connection.execute(select(ENTRY).where(ENTRY.c.kind.in_(FILE_KINDS), named).order_by(ENTRY.c.id))
    return [entry_of(row) for row in rows]


def _names(key: Key) -> dict[str, Any]:
    return row_of_key(key)


def _not_after(at: datetime | int) -> ColumnElement[bool]:
    return ENTRY.c.id <= at if isinstance(at, int) else ENTRY.c.at_utc <= time_text(at)
