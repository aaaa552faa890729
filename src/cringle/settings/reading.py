"""Reading one role of the table at a wind: between rows, at their ends, and where rows must not be joined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cringle.findings import Number, Source
from cringle.settings.interpolate import monotone
from cringle.settings.table import SEA_FALLBACK, Cell, Table

WEAKEST_FIRST = (Source.GUESS, Source.COMPUTED, Source.ENTERED, Source.MEASURED, Source.TRIAL)
"""A number between two rows is no surer than the less sure of them."""


@dataclass(frozen=True)
class Reading:
    """What the table says for one role at one wind, before it is rounded to the step.

    Parameters
    ----------
    number : Number
        The value with the weaker provenance of the rows it was read from.
    rows : tuple of Cell
        The one or two rows it was read from.
    notes : tuple of str
        What a reader must know: held beyond an end, nearer row taken, another sea.
    held : bool
        Whether the wind is beyond the rows, so that the last one holds.
    observations : int or None
        The smaller number of observations of its rows, where known.
    """

    number: Number
    rows: tuple[Cell, ...]
    notes: tuple[str, ...] = ()
    held: bool = False

    @property
    def observations(self) -> int | None:
        """Return the smallest number of observations behind its rows; None when one is unknown."""
        counts = [cell.observations for cell in self.rows]
        return min((one for one in counts if one is not None), default=None) if None not in counts else None


def weaker(first: Number, second: Number) -> Number:
    """Return the one of two numbers that is less sure."""
    return min((first, second), key=lambda one: WEAKEST_FIRST.index(one.source))


def rows_for(table: Table, cell_of: tuple[str, str, str], sea: str, wind_kn: float) -> tuple[Cell, ...]:
    """Return the rows to read a role from: those of this sea, and where they do not reach, of another sea.

    `cell_of` is sail set, gear, role. Inside the winds of its own rows a sea uses only those.
    """
    sail_set, gear, role = cell_of
    own = table.column(sail_set, sea, gear, role)
    if own and own[0].wind_kn <= wind_kn <= own[-1].wind_kn:
        return own
    for other in SEA_FALLBACK:
        borrowed = table.column(sail_set, other, gear, role)
        if other != sea and borrowed and borrowed[0].wind_kn <= wind_kn <= borrowed[-1].wind_kn:
            beyond = [cell for cell in borrowed if not own or not _within(cell, own)]
            return tuple(sorted([*own, *beyond], key=lambda cell: cell.wind_kn))
    others = (table.column(sail_set, other, gear, role) for other in SEA_FALLBACK)
    return own or next((cells for cells in others if cells), ())


def _within(cell: Cell, own: Sequence[Cell]) -> bool:
    return own[0].wind_kn <= cell.wind_kn <= own[-1].wind_kn


def read_role(
    table: Table, cell_of: tuple[str, str, str], *, sea: str, wind_kn: float, by_row: bool = False
) -> Reading | None:
    """Return what the table says for a role at a wind, or None when it has no row for it.

    Parameters
    ----------
    table : Table
        Where to read.
    cell_of : tuple
        Sail set, gear, role.
    sea : str
        Sea state.
    wind_kn : float
        Wind at the table's reference height [kn].
    by_row : bool
        Take the nearer row instead of a value between two: for what stands at one row through a whole race.

    Notes
    -----
    Monotone between rows (no overshoot), never across a change of posture; there, and with `by_row`, the
    nearer row is taken, the lighter one when both are as near. Beyond the first or last row it is held.
    """
    rows = rows_for(table, cell_of, sea, wind_kn)
    if not rows:
        return None
    reading = _read(table, rows, wind_kn, by_row=by_row)
    borrowed = sorted({cell.sea for cell in reading.rows if cell.sea != sea})
    note = f"no {sea} row for {wind_kn:g} kn: read from {' and '.join(borrowed)}"
    return replace(reading, notes=(*reading.notes, note)) if borrowed else reading


def _read(table: Table, rows: tuple[Cell, ...], wind_kn: float, *, by_row: bool) -> Reading:
    first, last = rows[0], rows[-1]
    if wind_kn < first.wind_kn:
        note = f"{wind_kn:g} kn is below the first row: held at {first.wind_kn:g} kn"
        return Reading(first.number, (first,), (note,), held=True)
    if wind_kn > last.wind_kn:
        note = f"{wind_kn:g} kn is beyond the last row: held at {last.wind_kn:g} kn"
        return Reading(last.number, (last,), (note,), held=True)
    lower = max((cell for cell in rows if cell.wind_kn <= wind_kn), key=lambda cell: cell.wind_kn)
    if lower.wind_kn == wind_kn:
        return Reading(lower.number, (lower,))
    upper = min((cell for cell in rows if cell.wind_kn > wind_kn), key=lambda cell: cell.wind_kn)
    postures = table.posture(lower), table.posture(upper)
    if by_row or postures[0] != postures[1]:
        return _nearer(lower, upper, wind_kn, postures=None if by_row else postures)
    return _between(_same_posture(table, rows, lower), (lower, upper), wind_kn)


def _nearer(
    lower: Cell, upper: Cell, wind_kn: float, *, postures: tuple[str | None, str | None] | None
) -> Reading:
    taken = lower if wind_kn - lower.wind_kn <= upper.wind_kn - wind_kn else upper
    if postures is None:
        return Reading(taken.number, (taken,))
    change = " to ".join(one or "unknown" for one in postures)
    span = f"between {lower.wind_kn:g} and {upper.wind_kn:g} kn"
    note = f"posture changes from {change} {span}: {taken.wind_kn:g} kn row taken"
    return Reading(taken.number, (taken,), (note,))


def _same_posture(table: Table, rows: Sequence[Cell], seed: Cell) -> list[Cell]:
    """Return the unbroken run of rows around one that have its posture."""
    run: list[Cell] = []
    for cell in rows:
        if table.posture(cell) == table.posture(seed):
            run.append(cell)
        elif seed in run:
            break
        else:
            run = []
    return run


def _between(run: Sequence[Cell], pair: tuple[Cell, Cell], wind_kn: float) -> Reading:
    winds = [cell.wind_kn for cell in run]
    value = float(monotone(winds, [cell.number.value for cell in run], wind_kn))
    sure = weaker(pair[0].number, pair[1].number)
    return Reading(Number(value, sure.unit, sure.source, by=sure.by, at=sure.at), pair)
