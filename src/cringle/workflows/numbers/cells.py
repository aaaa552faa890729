"""One cell of the settings table as a page edits it: its history, a new number, empty again."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from cringle.boat.read import read_book_files
from cringle.book.entries import Entry, NewEntry, blank_payload
from cringle.book.store import Book
from cringle.settings.answer import sail_set_asked
from cringle.settings.names import known_name
from cringle.settings.roles import RoleScale, role_scales
from cringle.settings.table import DEFAULT_SEA, SEAS
from cringle.workflows.numbers.entries import SETTING, SUBJECT


@dataclass(frozen=True)
class CellPlace:
    """Which cell: role, wind of the row, gear, sails and sea."""

    role: str
    wind_kn: float
    gear: str = "settled"
    sail_set: str | None = None
    sea: str = DEFAULT_SEA


@dataclass(frozen=True)
class CellSeen:
    """A cell with everything that was ever written there, oldest first, and the scale of its line."""

    place: CellPlace
    scale: RoleScale
    history: tuple[Entry, ...]

    @property
    def now(self) -> Entry | None:
        """What stands there, None when it is empty."""
        newest = self.history[-1] if self.history else None
        return None if newest is None or newest.is_blank else newest


def see_cell(folder: Path, place: CellPlace, *, until: int | None = None) -> CellSeen:
    """Return a cell and its history, up to an entry when given.

    Raises
    ------
    InputError
        There is no such role, sea or sail set.
    """
    files = read_book_files(folder)
    scales = role_scales(files.boat_file, rules=files.class_file)
    role = known_name(place.role, scales, what="role")
    sail_set = sail_set_asked(files.class_file, place.sail_set).id
    sea = known_name(place.sea, SEAS, what="sea")
    whole = CellPlace(role, place.wind_kn, place.gear, sail_set, sea)
    with Book.open(folder) as book:
        found = book.history(
            SETTING,
            until=until,
            subject=SUBJECT,
            sail_set=sail_set,
            sea=sea,
            wind_kn=place.wind_kn,
            gear=place.gear,
            role=role,
        )
    return CellSeen(whole, scales[role], tuple(found))


def empty_cell(folder: Path, place: CellPlace, *, base_id: int, who: str, why: str) -> Entry:
    """Empty a cell; its history stays.

    Raises
    ------
    ConflictError
        Somebody has changed it since `base_id`.
    """
    seen = see_cell(folder, place).place
    entry = NewEntry(
        SETTING,
        SUBJECT,
        blank_payload(),
        sail_set=seen.sail_set,
        sea=seen.sea,
        wind_kn=seen.wind_kn,
        gear=seen.gear,
        role=seen.role,
        base_id=base_id,
    )
    with Book.open(folder, who=who) as book:
        return book.write([entry], why=why)[0]
