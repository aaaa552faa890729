"""Between entries of the history and cells of the table: the one place that knows how a number is kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from cringle.book.entries import Entry, NewEntry, number_payload
from cringle.findings import Number
from cringle.settings.table import Cell, RowNote, Table

SUBJECT = "table"
SETTING, POSTURE, HEEL, CUE = "setting", "posture", "heel_target", "cue"
ROW_KINDS = (POSTURE, HEEL, CUE)
"""Kinds that say something of a whole row."""


def cell_of(entry: Entry) -> Cell | None:
    """Return the cell of a ``setting`` entry; None when it is blank or its key is not a whole one."""
    key, number = entry.key, entry.number
    if number is None or key.wind_kn is None:
        return None
    parts = (key.sail_set, key.sea, key.gear, key.role)
    if any(part is None for part in parts):
        return None
    sail_set, sea, gear, role = (str(part) for part in parts)
    count = entry.payload.get("n")
    return Cell(sail_set, sea, key.wind_kn, gear, role, number, count, entry.id)


def cells_of(entries: Iterable[Entry]) -> list[Cell]:
    """Return the cells of some entries, those of the table only."""
    found = (cell_of(entry) for entry in entries if entry.key.subject == SUBJECT)
    return [cell for cell in found if cell is not None]


def notes_of(entries: Iterable[Entry]) -> list[RowNote]:
    """Return the row notes that some ``posture``, ``heel_target`` and ``cue`` entries make together."""
    rows: dict[tuple[str, str | None, float, str], RowNote] = {}
    for entry in entries:
        key = entry.key
        if key.sail_set is None or key.wind_kn is None or key.gear is None or entry.is_blank:
            continue
        row = (key.sail_set, key.sea, key.wind_kn, key.gear)
        rows[row] = _with(rows.get(row) or RowNote(*row), entry)
    return list(rows.values())


def _with(note: RowNote, entry: Entry) -> RowNote:
    if entry.key.kind == POSTURE:
        return replace(note, posture=str(entry.value))
    if entry.key.kind == HEEL:
        return replace(note, heel=entry.number)
    return replace(note, cues={**note.cues, entry.key.role or "see": str(entry.value)})


def table_of(entries: Iterable[Entry]) -> Table:
    """Return the table that some entries make."""
    settings: list[Entry] = []
    rows: list[Entry] = []
    for entry in entries:
        (settings if entry.key.kind == SETTING else rows).append(entry)
    return Table.of(cells_of(settings), notes_of(rows))


def cell_payload(cell: Cell) -> dict[str, Any]:
    """Return what is kept for a cell."""
    count = {} if cell.observations is None else {"n": cell.observations}
    return {**number_payload(cell.number), **count}


def cell_entry(cell: Cell, base_id: int | None) -> NewEntry:
    """Return the entry that writes a cell."""
    return NewEntry(
        SETTING,
        SUBJECT,
        cell_payload(cell),
        unit=cell.number.unit,
        sail_set=cell.sail_set,
        sea=cell.sea,
        wind_kn=cell.wind_kn,
        gear=cell.gear,
        role=cell.role,
        base_id=base_id,
    )


def note_entries(note: RowNote) -> list[NewEntry]:
    """Return the entries that write a row note, one a fact; their base is not set yet."""
    found = []
    if note.posture is not None:
        found.append(_note_entry(POSTURE, note, {"value": note.posture}))
    if note.heel is not None:
        found.append(_note_entry(HEEL, note, number_payload(note.heel), unit="deg"))
    found += [_note_entry(CUE, note, {"value": words}, role=sense) for sense, words in note.cues.items()]
    return found


def _note_entry(
    kind: str, note: RowNote, payload: Mapping[str, Any], *, unit: str | None = None, role: str | None = None
) -> NewEntry:
    return NewEntry(
        kind,
        SUBJECT,
        payload,
        unit=unit,
        sail_set=note.sail_set,
        sea=note.sea,
        wind_kn=note.wind_kn,
        gear=note.gear,
        role=role,
    )


def same_number(first: Number, second: Number) -> bool:
    """Whether two numbers say the same: value, unit, source and interval; who and when apart."""
    kept = ("value", "unit", "source", "low", "high")
    return all(getattr(first, name) == getattr(second, name) for name in kept)
