from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

from cringle.book.entries import Entry, Key
from cringle.findings import Number, Source
from cringle.settings.table import Cell, RowNote
from cringle.workflows.numbers.entries import (
    cell_entry,
    cell_of,
    note_entries,
    notes_of,
    same_number,
    table_of,
)

NIL = UUID(int=0)
AT = datetime(2026, 5, 1, tzinfo=UTC)
CELL = Cell(
    "main+jib", "chop", 8.0, "settled", "vang", Number(2.0, "mark", Source.TRIAL, low=1.5, high=2.5), 9
)


def stored(new, number=1):
    return Entry(number, NIL, NIL, AT, "Ines", "test", new.key, new.payload, new.unit)


def test_a_cell_there_and_back():
    found = cell_of(stored(cell_entry(CELL, None), 7))
    assert found == replace(CELL, number=replace(CELL.number, by="Ines", at=AT), entry_id=7)


def test_what_is_no_whole_cell_is_left_out():
    entry = stored(cell_entry(CELL, None))
    assert cell_of(replace(entry, payload={"value": None})) is None
    assert cell_of(replace(entry, key=replace(entry.key, wind_kn=None))) is None
    assert cell_of(replace(entry, key=replace(entry.key, role=None))) is None
    assert table_of([replace(entry, key=replace(entry.key, subject="other"))]).cells == ()


def test_a_row_note_there_and_back():
    note = RowNote(
        "main+jib",
        None,
        8.0,
        "settled",
        posture="hike",
        heel=Number(12.0, "deg", Source.ENTERED, by="Ines", at=AT),
        cues={"see": "leech", "helm": "light"},
    )
    entries = [stored(one) for one in note_entries(note)]
    assert len(entries) == 4
    assert notes_of(entries) == [note]
    assert table_of(entries).notes == (note,)


def test_entries_without_a_row_say_nothing_of_one():
    loose = Entry(1, NIL, NIL, AT, "Ines", "test", Key("cue", "table"), {"value": "x"})
    assert notes_of([loose]) == []


def test_same_number_looks_past_who_and_when():
    assert same_number(CELL.number, replace(CELL.number, by="Keo", at=AT))
    assert not same_number(CELL.number, replace(CELL.number, value=2.5))
    assert not same_number(CELL.number, replace(CELL.number, source=Source.GUESS))
