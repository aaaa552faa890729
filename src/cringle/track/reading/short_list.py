"""Short lists that people keep beside a log, as CSV with a header: read whole, each row with its line."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from cringle.errors import LogError

MOST_BYTES: Final = 20_000_000
FIRST_LINE: Final = 2
"""Line of the first row below the header."""

TIMES: Final = "times as 2026-06-17T18:05:00Z"


def read_list(path: Path, columns: tuple[str, ...]) -> list[tuple[int, dict[str, str]]]:
    """Return the rows of a list, each with its line.

    Parameters
    ----------
    path : Path
        UTF-8 CSV with a header; other columns are left alone.
    columns : tuple of str
        Columns it must have.

    Raises
    ------
    LogError
        The file cannot be read, is too long, or lacks a column.
    """
    try:
        body = path.read_bytes()
        text = body.decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise LogError(f"cannot be read: {error}", path=path, next_step="give a UTF-8 CSV file") from error
    if len(body) > MOST_BYTES:
        raise LogError(
            f"{len(body) / 1e6:.0f} MB is no list; at most {MOST_BYTES / 1e6:.0f} MB",
            path=path,
            next_step="was this meant to be the log?",
        )
    rows = csv.DictReader(io.StringIO(text))
    names = rows.fieldnames or ()
    missing = sorted(set(columns) - set(names))
    if missing:
        raise LogError(
            f"no column {', '.join(missing)}; it has {', '.join(names) or 'none'}",
            path=path,
            line=1,
            next_step=f"name the columns {', '.join(columns)}",
        )
    return list(enumerate(rows, start=FIRST_LINE))


def instant_of(text: str) -> datetime:
    """Return an ISO 8601 time; UTC where it names no zone.

    Raises
    ------
    ValueError, TypeError
        It is none.
    """
    at = datetime.fromisoformat(text)
    return at if at.tzinfo else at.replace(tzinfo=UTC)
