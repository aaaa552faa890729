"""The newest entry of each key, kept by a trigger, and the view `current` over it."""

from __future__ import annotations

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

HEAD = """
CREATE TABLE head (
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    sail_set TEXT NOT NULL,
    sea TEXT NOT NULL,
    wind_kn REAL NOT NULL,
    gear TEXT NOT NULL,
    role TEXT NOT NULL,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (kind, subject, sail_set, sea, wind_kn, gear, role)
) WITHOUT ROWID
"""
FILL = """
INSERT INTO head
SELECT kind, subject, ifnull(sail_set, ''), ifnull(sea, ''), ifnull(wind_kn, -1.0), ifnull(gear, ''),
       ifnull(role, ''), max(id)
FROM entry GROUP BY 1, 2, 3, 4, 5, 6, 7
"""
FOLLOW = """
CREATE TRIGGER entry_moves_head AFTER INSERT ON entry
BEGIN
    INSERT INTO head VALUES (
        NEW.kind, NEW.subject, ifnull(NEW.sail_set, ''), ifnull(NEW.sea, ''), ifnull(NEW.wind_kn, -1.0),
        ifnull(NEW.gear, ''), ifnull(NEW.role, ''), NEW.id
    )
    ON CONFLICT DO UPDATE SET entry_id = excluded.entry_id;
END
"""
LOCKS = (
    "CREATE TRIGGER entry_ids_grow BEFORE INSERT ON entry "
    "WHEN NEW.id > 0 AND NEW.id <= (SELECT max(id) FROM entry) "
    "BEGIN SELECT RAISE(ABORT, 'entry is append-only: a new row comes last'); END",
    "CREATE TRIGGER head_only_forward BEFORE UPDATE ON head WHEN NEW.entry_id <= OLD.entry_id "
    "BEGIN SELECT RAISE(ABORT, 'head only moves to a newer entry'); END",
    "CREATE TRIGGER head_never_deleted BEFORE DELETE ON head "
    "BEGIN SELECT RAISE(ABORT, 'head follows entry: nothing is ever deleted'); END",
)
CURRENT = "CREATE VIEW current AS SELECT entry.* FROM head JOIN entry ON entry.id = head.entry_id"


def upgrade() -> None:
    """Make the table, fill it from the history, let it follow, and lay the view over it."""
    for statement in (HEAD, FILL, FOLLOW, *LOCKS, CURRENT):
        op.execute(statement)
