"""The first table of a new book: another boat's through millimetres, our starting values, or blank."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import cringle.settings
from cringle.boat.boat_file import BoatFile, Control, Screw
from cringle.boat.class_file import ClassFile
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.roles import RoleScale, fit_to_scale, role_scales
from cringle.settings.table import DEFAULT_SEA, Cell, RowNote, Table

FOLDER: Final = Path(cringle.settings.__path__[0])
VALUES: Final = FOLDER / "starting_values.csv"
ROWS: Final = FOLDER / "starting_rows.csv"
BY_US: Final = "starting values"
HARDER: Final = frozenset({"harder", "tighter"})


@dataclass(frozen=True)
class FirstTable:
    """A first table, and what a person should know about it."""

    cells: tuple[Cell, ...] = ()
    notes: tuple[RowNote, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Side:
    """A boat as far as the translation of a table needs it."""

    boat: BoatFile
    class_file: ClassFile

    @property
    def name(self) -> str:
        """Name of the boat."""
        return self.boat.boat.name


def translated(table: Table, source: Side, target: Side) -> FirstTable:
    """Return another boat's table on this boat's scales.

    Each number goes through its length: marks of the one boat to millimetres from the datum, millimetres to
    marks of the other; turns go through the change of length of the wire. The result is rounded to this
    boat's step, kept inside its range, and is a guess: nobody has sailed this boat with it.

    Parameters
    ----------
    table : Table
        The other boat's.
    source, target : Side
        The other boat, and this one.
    """
    scales = role_scales(target.boat)
    sail_sets = {one.id for one in target.class_file.sail_sets}
    cells: list[Cell] = []
    remarks: list[str] = [*_datums(table, source.boat, target.boat)]
    for cell in table.cells:
        theirs, ours = source.boat.for_role(cell.role), target.boat.for_role(cell.role)
        if not theirs or not ours or cell.sail_set not in sail_sets:
            remarks.append(f"left out: {cell.sail_set} {cell.role} has no place on {target.name}")
            continue
        wanted = _through_mm(cell.number.value, theirs[0], ours[0])
        if wanted is None:
            remarks.append(f"left out: {cell.role} is a screw on one boat and a line on the other")
            continue
        fitted = fit_to_scale(wanted, scales[cell.role])
        remarks += [fitted.note] if fitted.note else []
        by = f"{source.name} ({cell.number.source})"
        number = Number(fitted.value, ours[0].unit, Source.GUESS, by=by)
        cells.append(replace(cell, number=number, observations=None, entry_id=None))
    notes = [_guessed(note, source.name) for note in table.notes if note.sail_set in sail_sets]
    return FirstTable(tuple(cells), tuple(notes), tuple(dict.fromkeys(remarks)))


def _through_mm(value: float, theirs: Control | Screw, ours: Control | Screw) -> float | None:
    if isinstance(theirs, Control) and isinstance(ours, Control):
        return ours.to_mark(theirs.to_mm(value))
    if isinstance(theirs, Screw) and isinstance(ours, Screw):
        return value * theirs.mm_per_turn / ours.mm_per_turn
    return None


def _datums(table: Table, source: BoatFile, target: BoatFile) -> Iterator[str]:
    """Yield a word for each line whose millimetres start from another place on the two boats."""
    for role in dict.fromkeys(cell.role for cell in table.cells):
        theirs, ours = source.for_role(role), target.for_role(role)
        if not theirs or not ours or not isinstance(theirs[0], Control) or not isinstance(ours[0], Control):
            continue
        if theirs[0].datum != ours[0].datum:
            yield f"{role}: datum differs (there: {theirs[0].datum}; here: {ours[0].datum}); measure first"


def _guessed(note: RowNote, name: str) -> RowNote:
    heel = (
        None if note.heel is None else replace(note.heel, source=Source.GUESS, low=None, high=None, by=name)
    )
    return replace(note, heel=heel)


def starting(target: Side) -> FirstTable:
    """Return our own starting values on this boat's scales, all of them guesses."""
    scales = role_scales(target.boat)
    cells: list[Cell] = []
    remarks: list[str] = []
    sets = _sail_sets(target.class_file)
    for row in _rows(VALUES):
        sail_set, scale = sets.get(row["sails"]), scales.get(row["role"])
        if sail_set is None or scale is None:
            remarks.append(f"no starting value for {row['role']} with {row['sails']}: not on {target.name}")
            continue
        cells += _cells(row, sail_set, scale)
    notes = [_row_note(row, sets[row["sails"]]) for row in _rows(ROWS) if row["sails"] in sets]
    return FirstTable(tuple(cells), tuple(notes), tuple(dict.fromkeys(remarks)))


def _sail_sets(class_file: ClassFile) -> dict[str, str]:
    """Return the class's sail sets by the kinds of their sails: ``main+jib`` -> id; the first of each."""
    kinds = {sail.id: sail.kind.value for sail in class_file.sails}
    order = ("main", "jib", "kite")
    found: dict[str, str] = {}
    for one in class_file.sail_sets:
        name = "+".join(sorted((kinds[sail] for sail in one.sails if sail in kinds), key=order.index))
        found.setdefault(name, one.id)
    return found


def _cells(row: Mapping[str, str], sail_set: str, scale: RoleScale) -> Iterator[Cell]:
    for column, text in row.items():
        if column.isdigit() and text:
            value = fit_to_scale(_on_scale(float(text), row, scale), scale).value
            number = Number(value, scale.unit, Source.GUESS, by=BY_US)
            yield Cell(sail_set, DEFAULT_SEA, float(column), row["gear"], row["role"], number)


def _on_scale(value: float, row: Mapping[str, str], scale: RoleScale) -> float:
    """Return a share of the range, or turns, as a number on the scale, turned round where need be."""
    if row["unit"] == "turn":
        return value
    same = scale.more == row["more"] or {scale.more, row["more"]} <= HARDER
    share = value if same else 1.0 - value
    return scale.low + share * (scale.high - scale.low)


def _row_note(row: Mapping[str, str], sail_set: str) -> RowNote:
    heel = Number(float(row["heel_deg"]), "deg", Source.GUESS, by=BY_US)
    cues = {sense: row[sense] for sense in ("see", "feel", "helm") if row[sense]}
    return RowNote(sail_set, None, float(row["wind_kn"]), row["gear"], row["posture"], heel, cues)


def _rows(path: Path) -> list[dict[str, str]]:
    """Return the rows of one of our own data files; lines that begin with # are words for people."""
    lines = [
        line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")
    ]
    rows = list(csv.DictReader(lines))
    if not rows or any(None in row or None in row.values() for row in rows):
        raise InputError(
            f"{path}: a row has not as many fields as the header", next_step="install Cringle again"
        )
    return rows


def blank() -> FirstTable:
    """Return a table without a number; the first outing fills it."""
    return FirstTable(
        remarks=("the table is blank: fill it with cringle settings set after the first outing",)
    )
