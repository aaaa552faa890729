"""The settings table: sail set, sea, wind, gear and role to a number with its provenance."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from cringle.findings import Number

SEAS = ("flat", "chop", "waves")
"""Sea states in order of height: significant height 0.05, 0.25 and 0.5 m."""

DEFAULT_SEA = "chop"

HIGHEST_WIND_KN = 80.0
"""A wind beyond this is a slip of the keyboard [kn]."""

SEA_FALLBACK = ("flat", "chop", "waves")
"""Where a sea without a row of its own looks next, in this order."""

TECHNIQUES = ("soak", "wing", "plane")
"""Downwind, the rows go by technique instead of gear."""

CUE_SENSES = ("see", "feel", "hear", "helm")
"""What a cue is about: what one sees, feels, hears, and the load on the helm."""


@dataclass(frozen=True)
class Cell:
    """One number of the table.

    Parameters
    ----------
    sail_set, sea, gear, role : str
        The rest of its key; `gear` is a technique on the run.
    wind_kn : float
        Wind of the row, at the reference height of the table [kn].
    number : Number
        In marks or turns, with its provenance.
    observations : int or None
        How many observations stand behind it, where that is known.
    entry_id : int or None
        Id of the entry of the history it came from.
    """

    sail_set: str
    sea: str
    wind_kn: float
    gear: str
    role: str
    number: Number
    observations: int | None = None
    entry_id: int | None = None

    @property
    def key(self) -> tuple[str, str, float, str, str]:
        """Which cell this is."""
        return (self.sail_set, self.sea, self.wind_kn, self.gear, self.role)

    def __str__(self) -> str:
        return f"{self.sail_set} {self.sea} {self.wind_kn:g} kn {self.gear} {self.role}"


@dataclass(frozen=True)
class RowNote:
    """What a whole row says besides its numbers.

    Parameters
    ----------
    sail_set, gear : str
        Which row.
    sea : str or None
        None when it holds in any sea.
    wind_kn : float
        Wind of the row [kn].
    posture : str or None
        How the crew sits in this row.
    heel : Number or None
        Heel target kept in the book, leeward positive [deg].
    cues : mapping
        Sense (``see``, ``feel``, ``hear``, ``helm``) to words.
    """

    sail_set: str
    sea: str | None
    wind_kn: float
    gear: str
    posture: str | None = None
    heel: Number | None = None
    cues: Mapping[str, str] = field(default_factory=dict, hash=False)

    @property
    def key(self) -> tuple[str, str | None, float, str]:
        """Which row this is."""
        return (self.sail_set, self.sea, self.wind_kn, self.gear)


@dataclass(frozen=True)
class Table:
    """A whole table, indexed for reading. Make one with `Table.of`."""

    cells: tuple[Cell, ...] = ()
    notes: tuple[RowNote, ...] = ()

    @classmethod
    def of(cls, cells: Iterable[Cell], notes: Iterable[RowNote] = ()) -> Table:
        """Return the table of some cells and row notes, in any order."""
        return cls(tuple(cells), tuple(notes))

    @cached_property
    def _columns(self) -> dict[tuple[str, str, str, str], tuple[Cell, ...]]:
        found: dict[tuple[str, str, str, str], list[Cell]] = {}
        for cell in sorted(self.cells, key=lambda one: one.wind_kn):
            found.setdefault((cell.sail_set, cell.sea, cell.gear, cell.role), []).append(cell)
        return {key: tuple(cells) for key, cells in found.items()}

    @cached_property
    def _notes(self) -> dict[tuple[str, str | None, float, str], RowNote]:
        return {note.key: note for note in self.notes}

    def column(self, sail_set: str, sea: str, gear: str, role: str) -> tuple[Cell, ...]:
        """Return the cells of one role in one gear by increasing wind; empty when there are none."""
        return self._columns.get((sail_set, sea, gear, role), ())

    def note(self, sail_set: str, sea: str, wind_kn: float, gear: str) -> RowNote | None:
        """Return what a row says, for this sea or for any sea."""
        for where in (sea, None, *SEA_FALLBACK):
            found = self._notes.get((sail_set, where, wind_kn, gear))
            if found is not None:
                return found
        return None

    def posture(self, cell: Cell) -> str | None:
        """Return how the crew sits in the row of a cell, where the table says so."""
        note = self.note(cell.sail_set, cell.sea, cell.wind_kn, cell.gear)
        return None if note is None else note.posture

    def sail_sets(self) -> tuple[str, ...]:
        """Return the sail sets that have cells, in the order of the cells."""
        return tuple(dict.fromkeys(cell.sail_set for cell in self.cells))

    def gears(self, sail_set: str) -> tuple[str, ...]:
        """Return the gears or techniques a sail set has cells for, in the order of the cells."""
        return tuple(dict.fromkeys(cell.gear for cell in self.cells if cell.sail_set == sail_set))

    def roles(self, sail_set: str) -> tuple[str, ...]:
        """Return the roles a sail set has cells for, in the order of the cells."""
        return tuple(dict.fromkeys(cell.role for cell in self.cells if cell.sail_set == sail_set))

    def winds(self, sail_set: str, gear: str | None = None) -> tuple[float, ...]:
        """Return the winds of the rows of a sail set [kn], increasing."""
        found = {
            cell.wind_kn for cell in self.cells if cell.sail_set == sail_set and gear in (None, cell.gear)
        }
        return tuple(sorted(found))
