"""The history and the fits, both append-only."""

from __future__ import annotations

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

ENTRY = """
CREATE TABLE entry (
    id INTEGER PRIMARY KEY,
    uid TEXT NOT NULL UNIQUE,
    at_utc TEXT NOT NULL,
    who TEXT NOT NULL,
    why TEXT NOT NULL,
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    sail_set TEXT,
    sea TEXT,
    wind_kn REAL CHECK (wind_kn IS NULL OR wind_kn >= 0),
    gear TEXT,
    role TEXT,
    value_json TEXT NOT NULL CHECK (json_valid(value_json)),
    unit TEXT,
    base_id INTEGER REFERENCES entry (id),
    batch_uid TEXT NOT NULL,
    device TEXT
)
"""
FIT = """
CREATE TABLE fit (
    id INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    factors_json TEXT NOT NULL CHECK (json_valid(factors_json)),
    covariance_json TEXT NOT NULL CHECK (json_valid(covariance_json)),
    data_sha256 TEXT NOT NULL,
    model_version TEXT NOT NULL
)
"""
INDEXES = (
    "CREATE INDEX entry_key ON entry (kind, subject, sail_set, sea, wind_kn, gear, role, id)",
    "CREATE INDEX entry_batch ON entry (batch_uid)",
)


def append_only(table: str) -> tuple[str, str]:
    """Return the two triggers that refuse to change or delete a row."""
    return (
        f"CREATE TRIGGER {table}_never_changes BEFORE UPDATE ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: write a new row'); END",
        f"CREATE TRIGGER {table}_never_deleted BEFORE DELETE ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{table} is append-only: nothing is ever deleted'); END",
    )


def upgrade() -> None:
    """Make the two tables, their indexes and their locks."""
    for statement in (ENTRY, FIT, *INDEXES, *append_only("entry"), *append_only("fit")):
        op.execute(statement)
