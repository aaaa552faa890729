"""Between rows of the database and entries, in one place."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, Row
from sqlalchemy.sql import FromClause

from cringle.book.entries import KEY_FIELDS, Entry, Key, KeyFilter
from cringle.errors import InputError

UNUSED = {"wind_kn": -1.0}
"""What the head table holds for an unused part of a key ('' for texts)."""


def time_text(at: datetime) -> str:
    """Return an instant as the text kept in the book: UTC to the microsecond, so that texts sort as instants.

    Raises
    ------
    InputError
        The instant has no time zone.
    """
    if at.tzinfo is None:
        raise InputError(f"time {at.isoformat()} has no time zone", next_step="give it in UTC")
    return at.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def time_of(text: str) -> datetime:
    """Return the instant of a text kept in the book."""
    return datetime.fromisoformat(text)


def entry_of(row: Row[Any]) -> Entry:
    """Return the entry of a row of ``entry`` or ``current``."""
    found = row._mapping
    return Entry(
        id=found["id"],
        uid=UUID(found["uid"]),
        batch_uid=UUID(found["batch_uid"]),
        at=time_of(found["at_utc"]),
        who=found["who"],
        why=found["why"],
        key=Key(*(found[name] for name in KEY_FIELDS)),
        payload=json.loads(found["value_json"]),
        unit=found["unit"],
        base_id=found["base_id"],
        device=found["device"],
    )


def row_of_key(key: Key) -> dict[str, object]:
    """Return the key columns of a row of ``entry``."""
    return {name: getattr(key, name) for name in KEY_FIELDS}


def head_row_of_key(key: Key) -> dict[str, object]:
    """Return the key columns of a row of ``head``, where no part is null."""
    return {name: UNUSED.get(name, "") if value is None else value for name, value in row_of_key(key).items()}


def matches(table: FromClause, where: KeyFilter) -> list[ColumnElement[bool]]:
    """Return the conditions of a filter on ``entry`` or ``current``.

    Raises
    ------
    InputError
        A name that is no part of a key.
    """
    wrong = sorted(set(where) - set(KEY_FIELDS))
    if wrong:
        raise InputError(f"no part of a key: {', '.join(wrong)}; accepted: {', '.join(KEY_FIELDS)}")
    return [
        table.c[name].is_(None) if value is None else table.c[name] == value for name, value in where.items()
    ]
