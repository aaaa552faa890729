"""What the page Numbers receives: the table by gear, and one cell with its history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from cringle.book.entries import Entry, said
from cringle.output.line_rule import LineRule
from cringle.settings.roles import RoleScale
from cringle.settings.table import DEFAULT_SEA, SEAS, Cell
from cringle.workflows.books.history import Batch, Wanted, show_history
from cringle.workflows.numbers.cells import CellPlace, CellSeen, see_cell
from cringle.workflows.numbers.gauge import gauge_kept
from cringle.workflows.numbers.gauge_said import GaugeSaid
from cringle.workflows.numbers.marks import MarkRow, marks_shown
from cringle.workflows.numbers.settings import TableView, show_table

MOST_CHANGES = 12


@dataclass(frozen=True)
class Column:
    """One role of a gear: its scale, and a cell or None for each wind."""

    scale: RoleScale
    cells: tuple[Cell | None, ...]


@dataclass(frozen=True)
class GearTable:
    """The table of one gear: winds of its rows [kn] and the roles."""

    gear: str
    winds_kn: tuple[float, ...]
    columns: tuple[Column, ...]


@dataclass(frozen=True)
class NumbersView:
    """Everything on the page.

    Parameters
    ----------
    table : TableView
        The table as read.
    gears : tuple of GearTable
        It, by gear.
    other_sea : str or None
        The sea whose rows are shown because this one has none.
    sail_sets : tuple of (str, str)
        Id and name.
    changes : tuple of Batch
        The newest changes of the table, newest first.
    marks : tuple of MarkRow
        Controls with the stage of their marks.
    studies : mapping
        Control to its newest gauge study: how well the crew sets it again.
    """

    table: TableView
    gears: tuple[GearTable, ...]
    other_sea: str | None
    sail_sets: tuple[tuple[str, str], ...]
    changes: tuple[Batch, ...]
    marks: tuple[MarkRow, ...]
    studies: Mapping[str, GaugeSaid]
    seas: tuple[str, ...] = SEAS


def numbers_view(
    folder: Path, sail_sets: tuple[tuple[str, str], ...], *, sail_set: str | None, sea: str, as_of: str | None
) -> NumbersView:
    """Return the page for one sail set and sea."""
    view = show_table(folder, sail_set=sail_set, sea=sea or DEFAULT_SEA, as_of=as_of)
    seas = [
        one for one in (view.sea, *SEAS) if any(_is_in(cell, view.sail_set, one) for cell in view.table.cells)
    ]
    shown = seas[0] if seas else view.sea
    other = None if shown == view.sea else shown
    view = replace(view, sea=shown)
    changes = show_history(folder, Wanted(kind="table", limit=400))[-MOST_CHANGES:]
    return NumbersView(
        view,
        tuple(gear_table(view, gear) for gear in view.gears),
        other,
        sail_sets,
        tuple(reversed(changes)),
        tuple(marks_shown(folder)),
        gauge_kept(folder),
    )


def _is_in(cell: Cell, sail_set: str, sea: str) -> bool:
    return (cell.sail_set, cell.sea) == (sail_set, sea)


def gear_table(view: TableView, gear: str) -> GearTable:
    """Return one gear's part of the table, blank where nothing was written."""
    own = [one for one in view.table.cells if _is_in(one, view.sail_set, view.sea) and one.gear == gear]
    winds = tuple(sorted({one.wind_kn for one in own}))
    found = {(one.role, one.wind_kn): one for one in own}
    roles = [role for role in view.scales if any(one.role == role for one in own)]
    columns = tuple(
        Column(view.scales[role], tuple(found.get((role, wind)) for wind in winds)) for role in roles
    )
    return GearTable(gear, winds, columns)


@dataclass(frozen=True)
class CellView:
    """One cell: where, its line rule, and what was written there, newest first, in words."""

    seen: CellSeen
    rule: LineRule
    lines: tuple[tuple[Entry, str], ...]

    @property
    def base_id(self) -> int | None:
        """The entry that an editor has before the eyes."""
        return self.seen.now.id if self.seen.now is not None else None


def cell_view(folder: Path, place: CellPlace, *, until: int | None = None) -> CellView:
    """Return one cell for its editor."""
    seen = see_cell(folder, place, until=until)
    number = None if seen.now is None else seen.now.number
    rule = LineRule(seen.scale.low, seen.scale.high, number, None, seen.scale.name)
    lines = tuple((one, said(one.payload, one.unit)) for one in reversed(seen.history))
    return CellView(seen, rule, lines)
