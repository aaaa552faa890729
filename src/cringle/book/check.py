"""Whether the records are whole: the database, the newest-entry table, and the files they name."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from sqlalchemy import Connection, text

from cringle.book.entries import Entry
from cringle.book.files import sha256_of
from cringle.book.migrate import stored_revision
from cringle.book.schema import HEAD_REVISION
from cringle.errors import Finding

TRIGGERS: Final = frozenset(
    {
        "entry_never_changes",
        "entry_never_deleted",
        "fit_never_changes",
        "fit_never_deleted",
        "entry_moves_head",
        "entry_ids_grow",
        "head_only_forward",
        "head_never_deleted",
    }
)

_HEAD_DIFFERENCES: Final = """
WITH newest AS (
    SELECT kind, subject, ifnull(sail_set, '') AS sail_set, ifnull(sea, '') AS sea,
           ifnull(wind_kn, -1.0) AS wind_kn, ifnull(gear, '') AS gear, ifnull(role, '') AS role,
           max(id) AS entry_id
    FROM entry GROUP BY 1, 2, 3, 4, 5, 6, 7
)
SELECT * FROM (SELECT * FROM newest EXCEPT SELECT * FROM head)
UNION
SELECT * FROM (SELECT * FROM head EXCEPT SELECT * FROM newest)
"""


def check_database(connection: Connection, path: Path) -> list[Finding]:
    """Return what is wrong with the database; an empty list means that it is whole.

    Looks at every page and index, every reference, the revision, the triggers that keep the history
    append-only, whether ids run without a gap, and whether the newest-entry table agrees with the history.
    """
    damage = [str(row[0]) for row in connection.execute(text("PRAGMA integrity_check"))]
    if damage != ["ok"]:
        return [Finding(f"damaged: {line}", path=path) for line in damage]
    return [
        *_references(connection, path),
        *_structure(connection, path),
        *_gaps(connection, path),
        *_head(connection, path),
    ]


def _references(connection: Connection, path: Path) -> list[Finding]:
    rows = connection.execute(text("PRAGMA foreign_key_check")).all()
    return [
        Finding(f"row {row[1]} of {row[0]} refers to a row of {row[2]} that is not there", path=path)
        for row in rows
    ]


def _structure(connection: Connection, path: Path) -> list[Finding]:
    found = []
    revision = stored_revision(connection)
    if revision != HEAD_REVISION:
        found.append(Finding("wrong revision", path=path, found=str(revision), accepted=HEAD_REVISION))
    names = connection.execute(text("SELECT name FROM sqlite_master WHERE type = 'trigger'")).scalars()
    missing = sorted(TRIGGERS - set(names))
    if missing:
        found.append(Finding(f"the history is not protected: no trigger {', '.join(missing)}", path=path))
    return found


def _gaps(connection: Connection, path: Path) -> list[Finding]:
    count, last = connection.execute(text("SELECT count(*), ifnull(max(id), 0) FROM entry")).one()
    return (
        [] if count == last else [Finding(f"{last - count} entries were taken out of the history", path=path)]
    )


def _head(connection: Connection, path: Path) -> list[Finding]:
    rows = connection.execute(text(_HEAD_DIFFERENCES)).all()
    keys = sorted({" ".join(str(part) for part in row[:7] if part not in ("", -1.0)) for row in rows})
    return [Finding(f"the newest entry of {key} is not the one shown as current", path=path) for key in keys]


def check_files(directory: Path, entries: list[Entry]) -> list[Finding]:
    """Return the kept files that are not there or are not what was recorded, each once."""
    wanted = {
        str(entry.payload["file"]): str(entry.payload["sha256"])
        for entry in entries
        if entry.payload.get("file") and entry.payload.get("sha256")
    }
    found = []
    for name, digest in sorted(wanted.items()):
        path = directory / name
        if not path.resolve().is_relative_to(directory.resolve()):
            found.append(Finding("the history names a file outside the book", path=path))
        elif not path.is_file():
            found.append(Finding("the book names this file, and it is not there", path=path))
        elif sha256_of(path) != digest:
            found.append(
                Finding("not the file that was recorded: its SHA-256 differs", path=path, accepted=digest)
            )
    return found
