"""Start numbers: what the table says for a wind, a sea and a sail set, fitted to each control's scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from cringle.findings import Number
from cringle.settings.reading import Reading, read_role, weaker
from cringle.settings.roles import RoleScale, fit_to_scale
from cringle.settings.table import TECHNIQUES, Table


@dataclass(frozen=True)
class StartNumber:
    """One number to set.

    Parameters
    ----------
    gear, role : str
        Where it belongs.
    number : Number
        On a step of the scale and inside its range.
    exact : float
        What the table said before rounding.
    notes : tuple of str
        Held, cut to the range, nearer row, other sea.
    held : bool
        Whether the wind was beyond the rows.
    rows_kn : tuple of float
        Winds of the rows it was read from [kn].
    observations : int or None
        How many observations stand behind it, where known.
    """

    gear: str
    role: str
    number: Number
    exact: float
    notes: tuple[str, ...] = ()
    held: bool = False
    rows_kn: tuple[float, ...] = ()
    observations: int | None = None

    @property
    def value(self) -> float:
        """The number itself, in marks or turns."""
        return self.number.value


@dataclass(frozen=True)
class StartNumbers:
    """All numbers for one wind.

    Parameters
    ----------
    sail_set, sea : str
        What was asked for.
    wind_kn : float
        Wind at which the table was read [kn].
    numbers : tuple of StartNumber
        In the order of the boat file, gear by gear.
    left_out : tuple of str
        Gears whose rows do not reach this wind, and table roles the boat does not have, each with a word.
    """

    sail_set: str
    sea: str
    wind_kn: float
    numbers: tuple[StartNumber, ...]
    left_out: tuple[str, ...] = ()

    @property
    def gears(self) -> tuple[str, ...]:
        """Gears or techniques that have numbers."""
        return tuple(dict.fromkeys(one.gear for one in self.numbers))

    @property
    def roles(self) -> tuple[str, ...]:
        """Roles that have numbers."""
        return tuple(dict.fromkeys(one.role for one in self.numbers))

    def of_role(self, role: str) -> tuple[StartNumber, ...]:
        """Return the numbers of a role, one a gear."""
        return tuple(one for one in self.numbers if one.role == role)

    def find(self, gear: str, role: str) -> StartNumber | None:
        """Return the number of a role in a gear, or None."""
        return next((one for one in self.numbers if one.gear == gear and one.role == role), None)

    def provenance(self, role: str) -> Number:
        """Return the least sure number of a role over its gears."""
        numbers = [one.number for one in self.of_role(role)]
        sure = numbers[0]
        for other in numbers[1:]:
            sure = weaker(sure, other)
        return sure

    @property
    def notes(self) -> tuple[str, ...]:
        """Every note once, in the order of the numbers; a note of all roles of a gear is not repeated."""
        return tuple(dict.fromkeys(note for one in self.numbers for note in one.notes))


def start_numbers(
    table: Table, scales: Mapping[str, RoleScale], *, sail_set: str, sea: str, wind_kn: float
) -> StartNumbers:
    """Return the numbers to set for a wind.

    Parameters
    ----------
    table : Table
        The settings table.
    scales : mapping
        Role to its scale, in the order in which the numbers are wanted.
    sail_set, sea : str
        Sails up and sea state.
    wind_kn : float
        Wind at the table's reference height [kn].

    Returns
    -------
    StartNumbers
        Empty when the table has no row for that sail set.

    Notes
    -----
    A technique whose rows do not reach this wind is left out when another one does. What may be changed only
    between races or ashore is read from the nearer row, since it stands there through a whole race.
    """
    gears, away = _gears_at(table, sail_set, wind_kn)
    numbers = [
        found
        for gear in gears
        for scale in scales.values()
        if (found := _number(table, scale, (sail_set, gear, scale.role), sea=sea, wind_kn=wind_kn))
    ]
    return StartNumbers(sail_set, sea, wind_kn, tuple(numbers), (*away, *_strangers(table, scales, sail_set)))


def _number(
    table: Table, scale: RoleScale, cell_of: tuple[str, str, str], *, sea: str, wind_kn: float
) -> StartNumber | None:
    reading = read_role(table, cell_of, sea=sea, wind_kn=wind_kn, by_row=scale.is_rig)
    return None if reading is None else _fitted(reading, scale, cell_of[1])


def _fitted(reading: Reading, scale: RoleScale, gear: str) -> StartNumber:
    fitted = fit_to_scale(reading.number.value, scale)
    notes = reading.notes if fitted.note is None else (*reading.notes, fitted.note)
    return StartNumber(
        gear=gear,
        role=scale.role,
        number=replace(reading.number, value=fitted.value, unit=scale.unit),
        exact=reading.number.value,
        notes=notes,
        held=reading.held,
        rows_kn=tuple(cell.wind_kn for cell in reading.rows),
        observations=reading.observations,
    )


def _gears_at(table: Table, sail_set: str, wind_kn: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the gears to show at a wind, and a word about each technique left out."""
    gears = table.gears(sail_set)
    reach = {gear: table.winds(sail_set, gear) for gear in gears}
    out = [gear for gear in gears if gear in TECHNIQUES and not reach[gear][0] <= wind_kn <= reach[gear][-1]]
    if len(out) == len(gears):
        return gears, ()
    words = tuple(f"{gear}: its rows go from {reach[gear][0]:g} to {reach[gear][-1]:g} kn" for gear in out)
    return tuple(gear for gear in gears if gear not in out), words


def _strangers(table: Table, scales: Mapping[str, RoleScale], sail_set: str) -> tuple[str, ...]:
    return tuple(
        f"the table has numbers for {role!r}, which the boat file no longer has"
        for role in table.roles(sail_set)
        if role not in scales
    )
