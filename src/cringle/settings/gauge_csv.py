"""Reading a gauge study from CSV, with the place of every mistake."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from pathlib import Path

from cringle.errors import Collected, Finding, InputError
from cringle.settings.gauge import Reading

COLUMNS = ("person", "mark", "reading_mm")
OPTIONAL = "phase"
PHASES = ("before", "after")
NEXT_STEP = "correct the lines named above and give the file again; nothing was stored"


@dataclass(frozen=True)
class GaugeReadings:
    """The readings of a file: one study, or one before and one after a change of hardware."""

    before: tuple[Reading, ...]
    after: tuple[Reading, ...]


def read_gauge_csv(path: Path) -> GaugeReadings:
    """Read ``person,mark,reading_mm`` and, for a change of hardware, ``phase`` (before, after).

    Lines that begin with ``#`` and empty lines are skipped. Readings without a phase count as before.

    Raises
    ------
    InputError
        The file cannot be read, or is not UTF-8 text.
    BookFileError
        Every mistake with its line and column.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise InputError(f"{path}: cannot be read ({error.strerror})", next_step="check the path") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path}: not UTF-8 text", next_step="save the file as UTF-8 CSV") from error
    return parse_gauge_csv(text, path)


def parse_gauge_csv(text: str, path: Path) -> GaugeReadings:
    """Return the readings of a CSV text; see `read_gauge_csv`."""
    mistakes, found = Collected(), {phase: list[Reading]() for phase in PHASES}
    if "\0" in text:
        raise InputError(f"{path}: not a text file", next_step="save the file as UTF-8 CSV")
    numbered = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not numbered:
        raise InputError(f"{path}: empty", next_step=f"the first line is: {','.join(COLUMNS)}")
    header = [name.strip() for name in _cells(numbered[0][1])]
    if not _header_is_right(header):
        message = f"header {','.join(header)!r}"
        accepted = f"{','.join(COLUMNS)}, and {OPTIONAL} for a change of hardware"
        mistakes.add(Finding(message, path=path, line=numbered[0][0], accepted=accepted))
        mistakes.raise_if_any(NEXT_STEP)
    for number, line in numbered[1:]:
        cells = [cell.strip() for cell in _cells(line)]
        if len(cells) != len(header):
            mistakes.add(
                Finding(f"{len(cells)} columns, the header has {len(header)}", path=path, line=number)
            )
            continue
        row = dict(zip(header, cells, strict=True))
        reading, phase = _reading(row, (path, number), mistakes)
        if reading is not None:
            found[phase].append(reading)
    mistakes.raise_if_any(NEXT_STEP)
    return GaugeReadings(tuple(found["before"]), tuple(found["after"]))


def _cells(line: str) -> list[str]:
    return next(csv.reader(io.StringIO(line)), [])


def _header_is_right(header: list[str]) -> bool:
    names = set(header)
    return len(names) == len(header) and set(COLUMNS) <= names <= {*COLUMNS, OPTIONAL}


def _reading(row: dict[str, str], place: tuple[Path, int], mistakes: Collected) -> tuple[Reading | None, str]:
    path, line = place
    numbers = {name: _number(row[name]) for name in ("mark", "reading_mm")}
    for name, value in numbers.items():
        if value is None:
            mistakes.add(Finding("not a number", path=path, line=line, field=name, found=repr(row[name])))
    if not row["person"]:
        mistakes.add(Finding("nobody named", path=path, line=line, field="person", accepted="a name"))
    phase = row.get(OPTIONAL) or PHASES[0]
    if phase not in PHASES:
        mistakes.add(
            Finding(
                "no such phase",
                path=path,
                line=line,
                field=OPTIONAL,
                found=repr(phase),
                accepted=", ".join(PHASES),
            )
        )
    mark, reading_mm = numbers["mark"], numbers["reading_mm"]
    if mark is None or reading_mm is None or not row["person"] or phase not in PHASES:
        return None, phase
    return Reading(row["person"], mark, reading_mm), phase


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
