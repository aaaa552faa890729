"""The settings table as people work on it: show it, set a number, list moves, take in and give out CSV."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.book.entries import Entry
from cringle.book.store import Book
from cringle.errors import InputError, OutOfRangeError
from cringle.findings import Number, Source
from cringle.settings.aboard import people_aboard
from cringle.settings.answer import sail_set_asked
from cringle.settings.instants import earlier_table
from cringle.settings.moves import Move, moves_between
from cringle.settings.names import known_name
from cringle.settings.pairs import PairAdvice, advise_pair, paired_role, paired_scale
from cringle.settings.roles import RoleScale, role_scales, round_to_step
from cringle.settings.start_numbers import start_numbers
from cringle.settings.table import DEFAULT_SEA, HIGHEST_WIND_KN, SEAS, Cell, Table
from cringle.workflows.numbers.entries import (
    ROW_KINDS,
    SETTING,
    SUBJECT,
    cell_entry,
    cell_of,
    table_of,
)


@dataclass(frozen=True)
class TableView:
    """A table with what is needed to read it."""

    boat: str
    table: Table
    scales: dict[str, RoleScale]
    sail_set: str
    sea: str
    gears: tuple[str, ...]
    as_of: datetime | int | None = None


def show_table(
    folder: Path,
    *,
    sail_set: str | None = None,
    sea: str = DEFAULT_SEA,
    gear: str | None = None,
    as_of: str | None = None,
) -> TableView:
    """Return the table of a sail set as it stands, or as it stood on a date or after an entry."""
    files = read_book_files(folder)
    then = table_instant(files, as_of)
    wanted = sail_set_asked(files.class_file, sail_set)
    with Book.open(folder) as book:
        table = whole_table(book, then)
    gears = table.gears(wanted.id)
    chosen = gears if gear is None else (known_name(gear, gears, what="gear"),)
    return TableView(
        boat=files.boat_file.boat.name,
        table=table,
        scales=role_scales(files.boat_file, rules=files.class_file),
        sail_set=wanted.id,
        sea=known_name(sea, SEAS, what="sea"),
        gears=chosen,
        as_of=then,
    )


def table_instant(files: BookFiles, as_of: str | None) -> datetime | int | None:
    """Return which earlier table a text means, None for the table as it stands."""
    return None if as_of is None else earlier_table(as_of, files.boat_file.boat.time_zone)


def whole_table(book: Book, as_of: datetime | int | None = None) -> Table:
    """Return the whole table of a book, now or at an earlier instant."""
    kinds = (SETTING, *ROW_KINDS)
    if as_of is None:
        return table_of([one for kind in kinds for one in book.current(kind)])
    return table_of([one for kind in kinds for one in book.as_of(as_of, kind)])


@dataclass(frozen=True)
class SettingChange:
    """One number a person wants in the table.

    Who has seen the cell says so with `base_id`, or with `seen_empty` where it was empty; without either the
    number is written over whatever stands there.
    """

    role: str
    wind_kn: float
    value: float
    gear: str = "settled"
    sail_set: str | None = None
    sea: str = DEFAULT_SEA
    source: Source = Source.ENTERED
    base_id: int | None = None
    seen_empty: bool = False


@dataclass(frozen=True)
class SettingDone:
    """What came of it: the cell now and before, warnings, and advice for the other line of a pair."""

    cell: Cell
    before: Cell | None
    warnings: tuple[str, ...]
    advice: PairAdvice | None


def set_number(folder: Path, change: SettingChange, *, who: str, why: str) -> SettingDone:
    """Write one number of the table.

    Raises
    ------
    InputError
        An unknown role, gear, sea or sail set, or a wind that cannot be.
    OutOfRangeError
        The number is outside the control's range.
    ConflictError
        `base_id` was given and somebody has changed the number since.
    """
    files = read_book_files(folder)
    cell, scale = _checked_cell(files, change)
    with Book.open(folder, who=who) as book:
        before = book.one(
            SETTING,
            SUBJECT,
            sail_set=cell.sail_set,
            sea=cell.sea,
            wind_kn=cell.wind_kn,
            gear=cell.gear,
            role=cell.role,
        )
        written = book.write([cell_entry(cell, _seen(change, before))], why=why)[0]
        earlier = None if before is None else cell_of(before)
        advice = _advice_for_cell(book, files, cell, earlier)
    return SettingDone(cell_of(written) or cell, earlier, tuple(_off_step(cell, scale)), advice)


def _seen(change: SettingChange, before: Entry | None) -> int | None:
    """Return the entry that the writer had before the eyes."""
    if change.seen_empty or change.base_id is not None:
        return change.base_id
    return before.id if before else None


def _checked_cell(files: BookFiles, change: SettingChange) -> tuple[Cell, RoleScale]:
    scales = role_scales(files.boat_file, rules=files.class_file)
    role = known_name(change.role, scales, what="role", next_step="look at: cringle settings show")
    scale = scales[role]
    if not 0.0 <= change.wind_kn <= HIGHEST_WIND_KN:
        raise OutOfRangeError("wind", change.wind_kn, 0.0, HIGHEST_WIND_KN, unit="kn")
    if not scale.low <= change.value <= scale.high:
        raise OutOfRangeError(
            scale.name,
            change.value,
            scale.low,
            scale.high,
            unit=f"{scale.unit}s",
            next_step="give a number on the scale, or move the scale: cringle settings mark-up",
        )
    if not change.gear.strip():
        raise InputError("no gear given", next_step="add --gear settled, build, or a technique such as soak")
    cell = Cell(
        sail_set=sail_set_asked(files.class_file, change.sail_set).id,
        sea=known_name(change.sea, SEAS, what="sea"),
        wind_kn=change.wind_kn,
        gear=change.gear,
        role=role,
        number=Number(change.value, scale.unit, change.source),
    )
    return cell, scale


def _off_step(cell: Cell, scale: RoleScale) -> Iterable[str]:
    nearest = round_to_step(cell.number.value, scale.step)
    if abs(nearest - cell.number.value) > scale.step * 1e-6:
        yield (
            f"{cell.number.value:g} is not on a step of {scale.step:g} {scale.unit}: start numbers will say "
            f"{nearest:g}"
        )


def _advice_for_cell(book: Book, files: BookFiles, cell: Cell, before: Cell | None) -> PairAdvice | None:
    other = paired_role(files.boat_file, cell.role)
    if other is None or before is None or before.number.value == cell.number.value:
        return None
    stands = book.one(
        SETTING,
        SUBJECT,
        sail_set=cell.sail_set,
        sea=cell.sea,
        wind_kn=cell.wind_kn,
        gear=cell.gear,
        role=other,
    )
    if stands is None or stands.number is None:
        return None
    return advise_pair(
        role_scales(files.boat_file, [other])[other],
        moved_from=before.number.value,
        moved_to=cell.number.value,
        other_now=stands.number.value,
    )


@dataclass(frozen=True)
class PairMoved:
    """One of a pair was moved from one number to another; where the other one stands."""

    line: str
    moved_from: float
    moved_to: float
    other_now: float


def pair_advice(folder: Path, moved: PairMoved) -> PairAdvice:
    """Return what to do with the other line of a pair; nothing is read from the table or written to it.

    Raises
    ------
    InputError
        There is no such line or role, or it stands alone.
    OutOfRangeError
        A number is not on the scale.
    """
    boat = read_book_files(folder).boat_file
    scale, ratio = paired_scale(boat, moved.line)
    if not scale.low <= moved.other_now <= scale.high:
        raise OutOfRangeError(scale.name, moved.other_now, scale.low, scale.high, unit=f"{scale.unit}s")
    return advise_pair(
        scale,
        moved_from=moved.moved_from,
        moved_to=moved.moved_to,
        other_now=moved.other_now,
        mm_ratio=ratio,
    )


@dataclass(frozen=True)
class MovesAsked:
    """From which wind to which, with what up."""

    from_kn: float
    to_kn: float
    sail_set: str | None = None
    sea: str = DEFAULT_SEA
    gear: str | None = None
    aboard: tuple[str, ...] = ()


def list_moves(folder: Path, asked: MovesAsked) -> tuple[Move, ...]:
    """Return who does what when the wind goes from one strength to another, whatever the rule state.

    Raises
    ------
    InputError
        An unknown name, or a wind that cannot be.
    """
    for wind_kn in (asked.from_kn, asked.to_kn):
        if not 0.0 <= wind_kn <= HIGHEST_WIND_KN:
            raise OutOfRangeError("wind", wind_kn, 0.0, HIGHEST_WIND_KN, unit="kn")
    view = show_table(folder, sail_set=asked.sail_set, sea=asked.sea, gear=asked.gear)
    people = people_aboard(read_book_files(folder).crew_file, asked.aboard)
    now, then = (
        start_numbers(view.table, view.scales, sail_set=view.sail_set, sea=view.sea, wind_kn=wind_kn)
        for wind_kn in (asked.from_kn, asked.to_kn)
    )
    return moves_between(now, then, view.scales, aboard=people, gear=asked.gear)
