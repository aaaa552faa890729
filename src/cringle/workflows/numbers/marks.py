"""The marks of the lines: how sure they are, whether the scales are any good, strips, the marking day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from cringle.boat.boat_file import BoatFile, Control
from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.entries import Entry, NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.settings.names import known_name
from cringle.settings.scale import ScaleCheck, check_mid_scale, check_pair, check_step, check_stops, step_mm
from cringle.settings.stages import MarkRecord, StageAdvice, advise_stage, stage_named
from cringle.settings.strip_layout import Sheet, lay_sheets, lay_strip, paper_named
from cringle.workflows.survey import local_now

SLACK_ROLES = "_windward"
"""A windward line is left slack or at its end on purpose; it says nothing of mid-scale."""


@dataclass(frozen=True)
class MarkRow:
    """One control: stage of its marks, advice, and the checks of its scale."""

    control: Control
    stage: str | None
    outings: int
    moved_mm: float | None
    advice: StageAdvice
    checks: tuple[ScaleCheck, ...]


def marks_shown(folder: Path) -> list[MarkRow]:
    """Return every control with the stage of its marks, advice, and checks of its scale."""
    files = read_book_files(folder)
    with Book.open(folder, create=True) as book:
        used = _used_numbers(files.boat_file, book.current("setting", subject="table"))
        matches = _matches(book.current("scale"))
        records = {one.id: _record(book, one) for one in files.boat_file.controls}
    return [
        MarkRow(
            control=one,
            stage=records[one.id].stage,
            outings=records[one.id].outings_since,
            moved_mm=records[one.id].moved_mm,
            advice=advise_stage(records[one.id]),
            checks=_checks(one, used.get(one.id, []), matches),
        )
        for one in files.boat_file.controls
    ]


def _record(book: Book, control: Control) -> MarkRecord:
    """Return what the history knows of one control's marks since its stage was given."""
    stage = book.one("mark_stage", control.id)
    look = book.one("mark_check", control.id)
    made = book.one("scale", control.id)
    half_step = step_mm(control) / 2.0
    since = max((one.id for one in (stage, made) if one is not None), default=0)
    moved = None if look is None or look.is_blank or look.id < since else float(look.value)
    if moved is not None and look is not None and abs(moved) > half_step:
        since = look.id
    outings = {one.key.subject for one in book.history("outing_start") if one.id > since and not one.is_blank}
    known = None if stage is None or stage.is_blank else stage_named(str(stage.value))
    return MarkRecord(control.id, known, len(outings), moved, half_step)


def _used_numbers(boat: BoatFile, cells: Sequence[Entry]) -> dict[str, list[float]]:
    """Return, per control, the numbers the table uses; roles left slack on purpose are left out."""
    used: dict[str, list[float]] = {}
    for cell in cells:
        role = cell.key.role
        if role is None or cell.number is None or role.endswith(SLACK_ROLES):
            continue
        for control in boat.for_role(role):
            used.setdefault(control.id, []).append(cell.number.value)
    return used


def _matches(entries: Sequence[Entry]) -> dict[str, list[tuple[float, float]]]:
    """Return, per second side of a pair, the comparisons of its last marking day."""
    return {
        one.key.subject: [(float(a), float(b)) for a, b in one.payload.get("matches", [])]
        for one in entries
        if one.payload.get("matches")
    }


def _checks(
    control: Control, used: Sequence[float], matches: dict[str, list[tuple[float, float]]]
) -> tuple[ScaleCheck, ...]:
    checks = [check_step(control), check_stops(control), check_mid_scale(control, used)]
    if control.pair is not None:
        found = matches.get(control.id) or matches.get(control.pair) or []
        checks.append(check_pair(control, found))
    return tuple(checks)


def set_stage(folder: Path, control: str, stage: str, *, who: str, why: str = "") -> StageAdvice:
    """Record how sure the marks of a control are: taped, inked or whipped.

    Raises
    ------
    InputError
        No such control or stage.
    ConflictError
        Somebody else recorded another stage meanwhile.
    """
    files = read_book_files(folder)
    one, wanted = control_named(files, control), stage_named(stage)
    with Book.open(folder, create=True, who=who) as book:
        stands = book.one("mark_stage", one.id)
        entry = NewEntry("mark_stage", one.id, {"value": wanted}, base_id=stands.id if stands else None)
        book.write([entry], why=why or f"marks of {one.id}: {wanted}")
        return advise_stage(_record(book, one))


def record_check(folder: Path, control: str, moved_mm: float, *, who: str, why: str = "") -> StageAdvice:
    """Record how far a mark was found from its place; 0 when it had stayed put.

    Raises
    ------
    InputError
        No such control.
    """
    files = read_book_files(folder)
    one = control_named(files, control)
    if not abs(moved_mm) <= abs(one.to_mm(one.high) - one.to_mm(one.low)):
        raise InputError(
            f"{one.id}: moved {moved_mm:g} mm is longer than the scale", next_step="give millimetres"
        )
    with Book.open(folder, create=True, who=who) as book:
        stands = book.one("mark_check", one.id)
        base = stands.id if stands else None
        entry = NewEntry("mark_check", one.id, {"value": moved_mm}, unit="mm", base_id=base)
        book.write([entry], why=why or f"looked at the marks of {one.id}")
        return advise_stage(_record(book, one))


def control_named(files: BookFiles, name: str) -> Control:
    """Return the control of that id.

    Raises
    ------
    InputError
        There is none; the message has the nearest name.
    """
    known = {one.id: one for one in files.boat_file.controls}
    return known[known_name(name, known, what="control", next_step="run: cringle settings marks")]


def lay_strips(files: BookFiles, controls: Sequence[str], paper: str) -> list[Sheet]:
    """Return the sheets of the strips of some controls, one strip for each of their lines."""
    size = paper_named(paper)
    wanted = [control_named(files, name) for name in controls] or list(files.boat_file.controls)
    parts = [part for one in wanted for line in one.lines for part in lay_strip(one, line.name, size)]
    return lay_sheets(parts, size)


def print_strips(
    folder: Path, controls: Sequence[str], out: Path, *, paper: str = "a4", at: datetime | None = None
) -> int:
    """Write scale strips as a PDF true to size; return the number of sheets.

    Parameters
    ----------
    folder : Path
        The book.
    controls : sequence of str
        Ids of the controls; all of them when empty.
    out : Path
        The PDF; replaced whole or not at all.
    paper : str
        ``a4`` or ``letter``.
    at : datetime or None
        Date on the sheets; now when left out.
    """
    from cringle.output.strips import strips_pdf

    files = read_book_files(folder)
    sheets = lay_strips(files, controls, paper)
    made = local_now(files, at)
    boat = files.boat_file.boat
    write_atomically(out, strips_pdf(sheets, f"Scale strips, {boat.name}", made, units=boat.display_units))
    return len(sheets)


def marks_json(rows: Sequence[MarkRow]) -> dict[str, Any]:
    """Return stages, advice and checks as JSON; unknown is null."""
    return {
        "schema": 1,
        "controls": [
            {
                "id": one.control.id,
                "name": one.control.name,
                "stage": one.stage,
                "outings_since": one.outings,
                "moved_mm": one.moved_mm,
                "advice": {"to": one.advice.to, "words": one.advice.words},
                "checks": [
                    {"what": check.what, "verdict": check.verdict, "words": check.words}
                    for check in one.checks
                ],
            }
            for one in rows
        ],
    }
