"""The settings table and its cues as CSV: plain columns, exact places for mistakes, nothing half-read."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from cringle.errors import Collected, Finding
from cringle.findings import Number, Source
from cringle.settings.csv_read import CsvRow, read_rows
from cringle.settings.table import CUE_SENSES, HIGHEST_WIND_KN, SEAS, Cell, RowNote

TABLE_COLUMNS = ("sail_set", "sea", "wind_kn", "gear", "role", "value", "unit", "source", "n", "by", "at")
"""Columns of a table file; those after ``value`` may be left out or empty."""

TABLE_NEEDED = TABLE_COLUMNS[:6]
CUE_COLUMNS = ("sail_set", "sea", "wind_kn", "gear", "posture", "heel_deg", "heel_source", *CUE_SENSES)
"""Columns of a cue file; those after ``gear`` may be left out or empty. An empty sea means any sea."""

CUE_NEEDED = CUE_COLUMNS[:4]
Read = TypeVar("Read")


@dataclass(frozen=True)
class Vocabulary:
    """The words a table of this boat may use.

    Parameters
    ----------
    sail_sets : tuple of str
        Ids of the class file.
    units : mapping
        Role of the boat to the unit of its numbers.
    ranges : mapping
        Role to lowest and highest number.
    """

    sail_sets: tuple[str, ...]
    units: Mapping[str, str] = field(hash=False)
    ranges: Mapping[str, tuple[float, float]] = field(hash=False)


def read_table_csv(path: Path, words: Vocabulary) -> list[Cell]:
    """Return the cells of a table file.

    Parameters
    ----------
    path : Path
        UTF-8, comma separated, one header line.
    words : Vocabulary
        Sail sets and roles of the boat.

    Raises
    ------
    BookFileError
        One or more mistakes, all of them with line and column.
    """
    rows, mistakes = read_rows(path, TABLE_COLUMNS, TABLE_NEEDED)
    cells = [(row, cell) for row in rows if (cell := _cell(row, words)) is not None]
    _refuse_doubles(cells, lambda cell: str(cell.key), mistakes)
    mistakes.raise_if_any("mend these lines and import the file again; nothing was written")
    return [cell for _, cell in cells]


def _cell(row: CsvRow, words: Vocabulary) -> Cell | None:
    sail_set, sea = row.word("sail_set", words.sail_sets), row.word("sea", SEAS)
    wind, gear = row.number("wind_kn", 0.0, HIGHEST_WIND_KN), _gear(row)
    role = row.word("role", tuple(words.units))
    low, high = words.ranges.get(role or "", (-math.inf, math.inf))
    value = row.number("value", low, high)
    source = row.word("source", [one.value for one in Source]) if row.text("source") else "entered"
    unit = row.text("unit")
    if role is not None and unit not in ("", words.units[role]):
        row.wrong("unit", "not the unit of this role", words.units[role])
    count, at = _count(row), _instant(row)
    if None in (sail_set, sea, wind, gear, role, value, source):
        return None
    number = Number(
        float(value or 0.0), words.units[str(role)], Source(str(source)), by=row.text("by") or None, at=at
    )
    return Cell(str(sail_set), str(sea), float(wind or 0.0), str(gear), str(role), number, count)


def _gear(row: CsvRow) -> str | None:
    gear = row.text("gear")
    if not gear or not gear.isprintable() or len(gear) > 32:
        row.wrong(
            "gear", "no name of a gear or technique", "build, settled, soak, wing, plane or your own word"
        )
        return None
    return gear


def _count(row: CsvRow) -> int | None:
    if not row.text("n"):
        return None
    found = row.number("n", 1, 1e6)
    if found is not None and found != int(found):
        row.wrong("n", "not a whole number", "how many observations stand behind the number")
    return None if found is None else int(found)


def _instant(row: CsvRow) -> datetime | None:
    text = row.text("at")
    if not text:
        return None
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        at = None
    if at is None or at.tzinfo is None:
        row.wrong("at", "not an instant", "ISO 8601 with its zone, such as 2026-05-14T18:30:00+00:00")
        return None
    return at


def _refuse_doubles(
    found: Sequence[tuple[CsvRow, Read]], key: Callable[[Read], str], mistakes: Collected
) -> None:
    first: dict[str, int] = {}
    for row, one in found:
        name = key(one)
        if name in first:
            mistakes.add(
                Finding(
                    f"the same cell stands at line {first[name]}",
                    path=row.path,
                    line=row.line,
                    accepted="each cell once",
                )
            )
        first.setdefault(name, row.line)


def read_cues_csv(path: Path, words: Vocabulary, postures: Sequence[str]) -> list[RowNote]:
    """Return the row notes of a cue file: posture, heel target and what one sees, feels and hears.

    Raises
    ------
    BookFileError
        One or more mistakes, all of them with line and column.
    """
    rows, mistakes = read_rows(path, CUE_COLUMNS, CUE_NEEDED)
    notes = [(row, note) for row in rows if (note := _note(row, words, postures)) is not None]
    _refuse_doubles(notes, lambda note: str(note.key), mistakes)
    mistakes.raise_if_any("mend these lines and import the file again; nothing was written")
    return [note for _, note in notes]


def _note(row: CsvRow, words: Vocabulary, postures: Sequence[str]) -> RowNote | None:
    sail_set = row.word("sail_set", words.sail_sets)
    sea = row.word("sea", SEAS) if row.text("sea") else ""
    wind, gear = row.number("wind_kn", 0.0, HIGHEST_WIND_KN), _gear(row)
    posture = row.word("posture", postures) if row.text("posture") else ""
    heel = row.number("heel_deg", -30.0, 45.0) if row.text("heel_deg") else None
    source = row.word("heel_source", [one.value for one in Source]) if row.text("heel_source") else "entered"
    if None in (sail_set, sea, wind, gear, posture, source):
        return None
    return RowNote(
        sail_set=str(sail_set),
        sea=sea or None,
        wind_kn=float(wind or 0.0),
        gear=str(gear),
        posture=posture or None,
        heel=None if heel is None else Number(heel, "deg", Source(str(source))),
        cues={sense: row.text(sense) for sense in CUE_SENSES if row.text(sense)},
    )


def table_csv(cells: Iterable[Cell]) -> str:
    """Return cells as the text of a table file; `read_table_csv` gives the same cells back."""
    return _csv_text(TABLE_COLUMNS, [_cell_fields(cell) for cell in cells])


def _cell_fields(cell: Cell) -> list[str]:
    number = cell.number
    return [
        cell.sail_set,
        cell.sea,
        f"{cell.wind_kn:g}",
        cell.gear,
        cell.role,
        repr(number.value + 0.0).removesuffix(".0"),
        number.unit,
        number.source.value,
        "" if cell.observations is None else str(cell.observations),
        number.by or "",
        "" if number.at is None else number.at.isoformat(),
    ]


def cues_csv(notes: Iterable[RowNote]) -> str:
    """Return row notes as the text of a cue file."""
    return _csv_text(CUE_COLUMNS, [_note_fields(note) for note in notes])


def _note_fields(note: RowNote) -> list[str]:
    heel = note.heel
    return [
        note.sail_set,
        note.sea or "",
        f"{note.wind_kn:g}",
        note.gear,
        note.posture or "",
        "" if heel is None else f"{heel.value:g}",
        "" if heel is None else heel.source.value,
        *(note.cues.get(sense, "") for sense in CUE_SENSES),
    ]


def _csv_text(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()
