"""Reading a CSV file so that every mistake is told with its line and column, all of them at once."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from cringle.errors import BookFileError, Collected, Finding, InputError
from cringle.settings.names import nearest

MAX_CSV_BYTES = 16_000_000
"""A table of a boat has some thousand rows; anything larger is some other file."""


@dataclass(frozen=True)
class CsvRow:
    """One line of a file with its number."""

    path: Path
    line: int
    values: Mapping[str, str] = field(hash=False)
    mistakes: Collected = field(hash=False)

    def text(self, column: str) -> str:
        """Return a field without its outer blanks; empty when the column is not there."""
        return self.values.get(column, "").strip()

    def wrong(self, column: str, message: str, accepted: str, close: str | None = None) -> None:
        """Keep a mistake in one column of this line."""
        self.mistakes.add(
            Finding(
                message,
                path=self.path,
                line=self.line,
                field=column,
                found=repr(self.text(column)),
                accepted=accepted,
                nearest=close,
            )
        )

    def number(self, column: str, low: float = -math.inf, high: float = math.inf) -> float | None:
        """Return a field as a finite number inside a range, or keep a mistake and return None."""
        try:
            value = float(self.text(column))
        except ValueError:
            self.wrong(column, "not a number", "a number with a decimal point, without its unit")
            return None
        if not math.isfinite(value) or not low <= value <= high:
            self.wrong(column, "a number out of reach", f"{low:g} to {high:g}")
            return None
        return value

    def word(self, column: str, known: Sequence[str]) -> str | None:
        """Return a field that must be one of some words, or keep a mistake with the nearest one."""
        word = self.text(column)
        if word not in known:
            self.wrong(column, "not a word this column knows", ", ".join(known), nearest(word, known))
            return None
        return word


def read_rows(path: Path, columns: Sequence[str], needed: Sequence[str]) -> tuple[list[CsvRow], Collected]:
    """Return the lines of a CSV file with a header, and where to keep their mistakes.

    Raises
    ------
    InputError
        The file is not there, cannot be read, is far too large, or is not UTF-8.
    BookFileError
        It has no header, an unknown column, or lacks one that is needed.
    """
    text = _text(path)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    mistakes, rows = Collected(), []
    header: list[str] | None = None
    try:
        for values in reader:
            if not any(part.strip() for part in values):
                continue
            if header is None:
                header = _header(path, values, columns, needed)
                continue
            if len(values) != len(header):
                mistakes.add(_ragged(path, reader.line_num, len(values), len(header)))
                continue
            rows.append(CsvRow(path, reader.line_num, dict(zip(header, values, strict=True)), mistakes))
    except csv.Error as error:
        raise BookFileError([Finding(f"not CSV: {error}", path=path, line=reader.line_num)]) from error
    if header is None:
        raise BookFileError([Finding("an empty file", path=path, line=1, accepted=",".join(columns))])
    return rows, mistakes


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > MAX_CSV_BYTES:
            raise InputError(f"{path}: too large for a settings table", next_step="check the path")
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise InputError(
            f"{path}: cannot be read ({error.strerror})", next_step="check the path and its permissions"
        ) from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path}: not UTF-8 text", next_step="save the file as CSV in UTF-8") from error


def _header(path: Path, values: list[str], columns: Sequence[str], needed: Sequence[str]) -> list[str]:
    header = [one.strip() for one in values]
    wrong = Collected()
    for name in header:
        if name not in columns or header.count(name) > 1:
            words = "a column twice" if name in columns else "no such column"
            close = nearest(name, columns) if name not in columns else None
            wrong.add(
                Finding(
                    words, path=path, line=1, found=repr(name), accepted=", ".join(columns), nearest=close
                )
            )
    for name in needed:
        if name not in header:
            wrong.add(
                Finding("a column is missing", path=path, line=1, field=name, accepted=", ".join(columns))
            )
    wrong.raise_if_any("mend the first line of the file")
    return header


def _ragged(path: Path, line: int, found: int, wanted: int) -> Finding:
    return Finding("wrong number of fields", path=path, line=line, found=str(found), accepted=str(wanted))
