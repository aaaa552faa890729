"""The tables of ``book.sqlite`` as the newest migration leaves them."""

from __future__ import annotations

from typing import Final

from sqlalchemy import Column, Float, ForeignKey, Integer, MetaData, Table, Text

HEAD_REVISION: Final = "0002"
"""Revision of the newest migration; a book that stores another one is migrated when it is opened."""

METADATA: Final = MetaData()

_KEY_TYPES: Final = {
    "kind": Text,
    "subject": Text,
    "sail_set": Text,
    "sea": Text,
    "wind_kn": Float,
    "gear": Text,
    "role": Text,
}


def _entry_columns() -> list[Column[object]]:
    required = {"kind", "subject"}
    return [
        Column("id", Integer, primary_key=True),
        Column("uid", Text, nullable=False, unique=True),
        Column("at_utc", Text, nullable=False),
        Column("who", Text, nullable=False),
        Column("why", Text, nullable=False),
        *(Column(name, of, nullable=name not in required) for name, of in _KEY_TYPES.items()),
        Column("value_json", Text, nullable=False),
        Column("unit", Text),
        Column("base_id", Integer),
        Column("batch_uid", Text, nullable=False),
        Column("device", Text),
    ]


ENTRY: Final = Table("entry", METADATA, *_entry_columns())
"""The history: one row per change, only ever added to."""

CURRENT: Final = Table("current", MetaData(), *_entry_columns())
"""The view of the newest entry of each key."""

HEAD: Final = Table(
    "head",
    METADATA,
    *(Column(name, of, primary_key=True) for name, of in _KEY_TYPES.items()),
    Column("entry_id", Integer, ForeignKey("entry.id"), nullable=False),
)
"""Which entry is the newest of its key; written by a trigger only. An unused part is '' or -1."""

FIT: Final = Table(
    "fit",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("at", Text, nullable=False),
    Column("factors_json", Text, nullable=False),
    Column("covariance_json", Text, nullable=False),
    Column("data_sha256", Text, nullable=False),
    Column("model_version", Text, nullable=False),
)
"""Fitted model factors, one row per fit, only ever added to."""
