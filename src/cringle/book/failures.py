"""What went wrong with the records, said so that a person knows what to do next."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy.exc import DBAPIError

from cringle.errors import BookError

_ADVICE: Final = {
    "BUSY": (
        "is locked by another program",
        "close the other program that writes to this book, then try again",
    ),
    "LOCKED": (
        "is locked by another program",
        "close the other program that writes to this book, then try again",
    ),
    "READONLY": (
        "is read-only",
        "make the book's directory and files writable, or copy the book to where you may write",
    ),
    "PERM": ("may not be opened by you", "make the book's directory and files yours, then try again"),
    "CANTOPEN": ("cannot be opened", "check that the book's directory exists and that you may write in it"),
    "CORRUPT": (
        "is damaged",
        "run `cringle book check`, then bring back the newest backup with `cringle book restore`",
    ),
    "NOTADB": ("is not a database", "bring back the newest backup with `cringle book restore`"),
    "NOTADIR": ("is a file where a directory is needed", "give another directory with --book DIR"),
    "FULL": (
        "cannot grow: the disk is full",
        "make room on the disk, then write the change again; nothing was half-written",
    ),
    "IOERR": (
        "cannot be read or written on this disk",
        "check the disk and its free space; nothing was half-written",
    ),
}
"""SQLite's primary result code -> what is wrong, and the next step (https://sqlite.org/rescode.html)."""

_ERRNO_CODE: Final = {
    errno.EACCES: "PERM",
    errno.EPERM: "PERM",
    errno.EROFS: "READONLY",
    errno.ENOSPC: "FULL",
    errno.EDQUOT: "FULL",
    errno.EFBIG: "FULL",
    errno.ENOENT: "CANTOPEN",
    errno.EEXIST: "NOTADIR",
    errno.ENOTDIR: "NOTADIR",
}


def database_failure(path: Path, error: sqlite3.Error) -> BookError:
    """Return the book's own error for one that SQLite raised."""
    name = getattr(error, "sqlite_errorname", "").removeprefix("SQLITE_")
    words, next_step = _ADVICE.get(name.split("_")[0], ("failed", "run `cringle book check`"))
    return BookError(f"{path}: {words} ({error})", next_step=next_step)


def file_failure(path: Path, error: OSError) -> BookError:
    """Return the book's own error for one that the file system raised."""
    code = _ERRNO_CODE.get(error.errno or 0, "IOERR")
    words, next_step = _ADVICE[code]
    return BookError(f"{error.filename or path}: {words} ({error.strerror or error})", next_step=next_step)


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Turn the errors of SQLite and of the file system into a `BookError` with its next step."""
    try:
        yield
    except DBAPIError as error:
        if isinstance(error.orig, sqlite3.Error):
            raise database_failure(path, error.orig) from error
        raise
    except sqlite3.Error as error:
        raise database_failure(path, error) from error
    except OSError as error:
        raise file_failure(path, error) from error
