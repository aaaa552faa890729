"""The settings table and what happens to it, as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from cringle.cli.text_rule import WIDTH, wrapped
from cringle.findings import PROVENANCE_LETTER, Number, Source
from cringle.output.wording import mark_text, printable, with_unit
from cringle.settings.moves import Move
from cringle.settings.pairs import PairAdvice
from cringle.settings.table import Cell, Table
from cringle.settings.tonight import move_json
from cringle.workflows.numbers.csv import Imported
from cringle.workflows.numbers.settings import SettingDone, TableView

NAME_WIDTH, FEWEST_COLUMNS = 22, 1
UNCHANGED = "The table is not changed by this."


def table_text(view: TableView) -> str:
    """Return a sail set's table as text: roles down, winds across, a block a gear, at most 80 columns."""
    return "\n".join(_table_lines(view)) + "\n"


def _table_lines(view: TableView) -> Iterator[str]:
    when = "" if view.as_of is None else f", as it stood {_instant(view.as_of)}"
    yield f"{printable(view.boat)}: {view.sail_set}, {view.sea}{when}"
    cells = [cell for cell in view.table.cells if cell.sail_set == view.sail_set and cell.sea == view.sea]
    if not cells:
        seas = sorted({cell.sea for cell in view.table.cells if cell.sail_set == view.sail_set})
        yield f"No rows for {view.sea}." + (f" There are rows for: {', '.join(seas)}." if seas else "")
        return
    width = max(len(_cell(cell)) for cell in cells) + 1
    at_once = max(FEWEST_COLUMNS, (WIDTH - NAME_WIDTH) // width)
    for gear in view.gears:
        winds = sorted({cell.wind_kn for cell in cells if cell.gear == gear})
        for start in range(0, len(winds), at_once):
            yield from _block(view, gear, winds[start : start + at_once], width)
    yield ""
    yield "? guess, E entered, M measured, C computed, T trial"


def _block(view: TableView, gear: str, winds: Sequence[float], width: int) -> Iterator[str]:
    yield ""
    yield f"{gear + ', kn':<{NAME_WIDTH}}" + "".join(f"{wind:>{width}g}" for wind in winds)
    for role, scale in view.scales.items():
        found = {cell.wind_kn: cell for cell in view.table.column(view.sail_set, view.sea, gear, role)}
        if any(wind in found for wind in winds):
            row = "".join(f"{_cell(found.get(wind)):>{width}}" for wind in winds)
            yield f"{scale.name[: NAME_WIDTH - 1]:<{NAME_WIDTH}}" + row


def _cell(cell: Cell | None) -> str:
    return "·" if cell is None else _short(cell.number)


def _short(number: Number) -> str:
    return f"{mark_text(number.value)}{PROVENANCE_LETTER[number.source]}"


def _instant(as_of: object) -> str:
    return f"after entry {as_of}" if isinstance(as_of, int) else f"before {as_of:%Y-%m-%d %H:%M} UTC"


def table_json(view: TableView) -> dict[str, Any]:
    """Return a sail set's table as JSON, every sea, each cell with the id to give back as its base."""
    cells = [cell for cell in view.table.cells if cell.sail_set == view.sail_set and cell.gear in view.gears]
    as_of = view.as_of if view.as_of is None or isinstance(view.as_of, int) else view.as_of.isoformat()
    return {
        "schema": 1,
        "boat": view.boat,
        "sail_set": view.sail_set,
        "as_of": as_of,
        "cells": [cell_json(cell) for cell in cells],
        "rows": _rows_json(view.table, view.sail_set),
    }


def cell_json(cell: Cell) -> dict[str, Any]:
    """Return one cell as JSON."""
    number = cell.number
    return {
        "sail_set": cell.sail_set,
        "sea": cell.sea,
        "wind_kn": cell.wind_kn,
        "gear": cell.gear,
        "role": cell.role,
        "value": number.value,
        "unit": number.unit,
        "source": number.source.value,
        "by": number.by,
        "at": None if number.at is None else number.at.isoformat(),
        "n": cell.observations,
        "entry_id": cell.entry_id,
    }


def _rows_json(table: Table, sail_set: str) -> list[dict[str, Any]]:
    return [
        {
            "sea": note.sea,
            "wind_kn": note.wind_kn,
            "gear": note.gear,
            "posture": note.posture,
            "heel_target_deg": None if note.heel is None else note.heel.value,
            "cues": dict(note.cues),
        }
        for note in table.notes
        if note.sail_set == sail_set
    ]


def done_text(done: SettingDone) -> str:
    """Return what a change did: the number now and before, warnings, advice for the other line."""
    return "\n".join(_done_lines(done)) + "\n"


def _done_lines(done: SettingDone) -> Iterator[str]:
    now = done.cell
    before = "empty before" if done.before is None else f"before {_short(done.before.number)}"
    yield f"{now}: {with_unit(now.number.value, now.number.unit)} ({before}; entry {now.entry_id})"
    for warning in done.warnings:
        yield wrapped("Warning", warning + ".")
    if done.advice is not None and done.advice.steps:
        advice = done.advice
        note = f" ({advice.note})" if advice.note else ""
        yield wrapped("Advice", f"{advice_text(advice)}{note}. {UNCHANGED}")


def pair_text(advice: PairAdvice) -> str:
    """Return the other line's move as a line of its own."""
    note = f" ({advice.note})" if advice.note else ""
    words = f"{advice_text(advice)}{note}. {UNCHANGED}\n"
    return words[:1].upper() + words[1:]


def advice_text(advice: PairAdvice) -> str:
    """Return the other line's move in words."""
    if not advice.steps:
        return f"leave the {advice.name} at {mark_text(advice.start)}"
    change = mark_text(abs(advice.end - advice.start))
    ends = f"from {mark_text(advice.start)} to {mark_text(advice.end)}"
    return f"now {advice.word} the {advice.name} by {change}, {ends}"


def done_json(done: SettingDone) -> dict[str, Any]:
    """Return what a change did as JSON."""
    return {
        "schema": 1,
        "cell": cell_json(done.cell),
        "before": None if done.before is None else cell_json(done.before),
        "warnings": list(done.warnings),
        "advice": None if done.advice is None else advice_json(done.advice),
    }


def advice_json(advice: PairAdvice) -> dict[str, Any]:
    """Return the other line's move as JSON."""
    return {
        "role": advice.other,
        "from": advice.start,
        "to": advice.end,
        "steps": advice.steps,
        "note": advice.note,
    }


def moves_text(moves: Sequence[Move]) -> str:
    """Return moves by person, those that may not be made while racing said so."""
    return "\n".join(_moves_lines(moves)) + "\n"


def _moves_lines(moves: Sequence[Move]) -> Iterator[str]:
    if not moves:
        yield "Nothing to move."
    for who in dict.fromkeys(move.who for move in moves):
        yield printable(who)
        for move in (one for one in moves if one.who == who):
            steps = f"{abs(move.steps)} {'step' if abs(move.steps) == 1 else 'steps'}"
            when = "" if move.while_racing else f"  {move.rule_state.value}"
            change = f"{mark_text(move.start)} to {mark_text(move.end)}"
            yield f"  {move.name:<21} {move.word:<11} {change:<12} {steps:<8}{when}".rstrip()


def moves_json(moves: Sequence[Move]) -> dict[str, Any]:
    """Return moves as JSON."""
    return {
        "schema": 1,
        "moves": [
            {**move_json(move), "unit": move.unit, "rule_state": move.rule_state.value} for move in moves
        ],
    }


def imported_text(done: Imported) -> str:
    """Return what an import did."""
    if not done.written:
        return f"{done.read} facts read, all of them stand in the book already: nothing written.\n"
    return f"{done.read} facts read: {done.written} written, {done.unchanged} unchanged.\n"


SOURCES = [one.value for one in Source]
"""Words for where a number comes from."""
