"""Putting a finished directory in the place of another in one step, the old one kept beside it."""

from __future__ import annotations

import ctypes
import errno
import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from cringle.boat.write import sync_directory
from cringle.errors import BookError

AT_FDCWD: Final = -100
RENAME_EXCHANGE: Final = 2
"""Constants of renameat2(2), Linux man-pages."""

QUIET_TIMEOUT_S: Final = 2.0
"""How long to wait for others to let go of a book that is to be replaced [s]."""


def put_in_place(fresh: Path, target: Path) -> Path | None:
    """Name a finished directory as the target; return where the old one is now, or None when there was none.

    Where the system can exchange two names in one step (Linux), no instant exists at which the target is
    missing; elsewhere the old one is moved aside first.

    From the exchange on, the name `fresh` holds the old one until it is moved aside: nothing may delete it.
    Call `require_unused` before.
    """
    if not target.exists():
        os.rename(fresh, target)  # noqa: PTH104 - traced by this name, beside the sync
        sync_directory(target.parent)
        return None
    if not any(target.iterdir()):
        target.rmdir()
        return put_in_place(fresh, target)
    aside = _free_name(target)
    if exchange(fresh, target):
        os.rename(fresh, aside)  # noqa: PTH104 - see above
    else:
        os.rename(target, aside)  # noqa: PTH104 - see above
        os.rename(fresh, target)  # noqa: PTH104 - see above
    sync_directory(target.parent)
    return aside


def require_unused(database: Path) -> None:
    """Refuse when another program has this database open; leaves it closed and whole in one file.

    Leaving write-ahead logging needs a database that nobody else holds open, and it folds the log in.
    A file that is no database any more is in nobody's use.
    """
    if not database.is_file():
        return
    try:
        with closing(sqlite3.connect(database, timeout=QUIET_TIMEOUT_S)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    except sqlite3.DatabaseError as error:
        if getattr(error, "sqlite_errorname", "").startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            raise BookError(
                f"{database}: is open in another program",
                next_step="close it (the server too), then try again",
            ) from error


def exchange(one: Path, other: Path) -> bool:
    """Exchange two names in one step; False where the system cannot."""
    renameat2 = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None) if os.name == "posix" else None
    if renameat2 is None:
        return False
    if renameat2(AT_FDCWD, os.fsencode(one), AT_FDCWD, os.fsencode(other), RENAME_EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in (errno.ENOSYS, errno.EINVAL):
        return False
    raise OSError(code, os.strerror(code), str(other))


def _free_name(target: Path) -> Path:
    stem = f"{target.name}.before-{datetime.now(UTC):%Y%m%dT%H%M%SZ}"
    names = [stem, *(f"{stem}-{number}" for number in range(2, 100))]
    return next(path for name in names if not (path := target.parent / name).exists())
