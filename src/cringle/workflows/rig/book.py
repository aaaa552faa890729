"""What a book knows of its rig: base, fitted factors, turns, locks and the rows of its table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from cringle.boat.boat_file import Control
from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.book.entries import Entry
from cringle.book.names import DATABASE_NAME
from cringle.book.store import Book
from cringle.findings import Number
from cringle.rig.base import BaseTarget, BaseTune, base_tune, file_target
from cringle.rig.model import RigFactors
from cringle.rig.spread import Ensemble, ensemble
from cringle.rig.turns import Setting
from cringle.rig.wind_load import Sailing

SUBJECT = "rig"
DEFAULT_WIND_KN = 10.0
DEFAULT_WINDS_KN = (4.0, 6.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 20.0, 24.0)
LOCKED, UNLOCKED = "locked", "unlocked"


@dataclass(frozen=True)
class RigBook:
    """What a book knows of its rig.

    Parameters
    ----------
    files : BookFiles
        Class, boat, crew.
    target : BaseTarget
        The base: measured where it is on record, else from the files.
    is_measured : bool
        Whether the base was measured.
    factors : RigFactors
        Fitted, else 1.
    turns : mapping
        Screw to its recorded turns; the entry's id beside.
    locks : mapping
        Screw to its recorded state.
    table : mapping
        Wind to role to number of the upwind table.
    """

    files: BookFiles
    target: BaseTarget
    is_measured: bool
    factors: RigFactors
    turns: Mapping[str, float] = field(default_factory=dict)
    locks: Mapping[str, str] = field(default_factory=dict)
    table: Mapping[float, Mapping[str, Number]] = field(default_factory=dict)

    def base(self) -> BaseTune:
        """Return the solved base tune."""
        return base_tune(
            self.files.class_file, self.files.boat_file, target=self.target, factors=self.factors
        )

    def ensemble(self) -> Ensemble:
        """Return the base tune with its neighbours."""
        return ensemble(self.files.class_file, self.files.boat_file, target=self.target, factors=self.factors)

    @property
    def crew_kg(self) -> float:
        """Everybody's weight. [kg]."""
        return self.files.crew_file.mass_kg

    @property
    def sailing(self) -> Sailing:
        """Sails, hull and crew; winds are stated at the height of the settings table."""
        height_m = self.files.boat_file.boat.wind_height_m
        return Sailing(self.files.class_file, self.crew_kg, height_m)

    def setting(self, turns: Mapping[str, float], wind_kn: float, pull_mm: float = 0.0) -> Setting:
        """Return a setting sailing upwind in a wind; 0 kn is the dock."""
        return Setting(turns, pull_mm, self.sailing.load(wind_kn))

    def backstay_pull_mm(self, wind_kn: float) -> float:
        """Return the puller's place of the table's row nearest to a wind, 0 where there is none."""
        backstay = self.files.boat_file.backstay
        rows = [wind for wind in self.table if "backstay" in self.table[wind]]
        if backstay is None or not rows:
            return 0.0
        nearest = min(rows, key=lambda wind: abs(wind - wind_kn))
        control = self.files.boat_file.control(backstay.control)
        mark = self.table[nearest]["backstay"].value
        return control.to_mm(mark) if isinstance(control, Control) else 0.0

    def warnings(self) -> tuple[str, ...]:
        """Return a word for every screw that is not known to be locked."""
        screws = self.files.boat_file.screws
        never = [one.name for one in screws if one.id not in self.locks]
        out = [f"no lock is on record for {len(never)} of {len(screws)} screws: check them"] if never else []
        for one in screws:
            state = self.locks.get(one.id, LOCKED)
            if state != LOCKED:
                out.append(f"{one.name} is on record as {state}: a quarter turn makes these numbers useless")
        return tuple(out)


def read_rig(folder: Path, *, sea: str = "chop") -> RigBook:
    """Return what a book knows of its rig; a book without records has only its files.

    Parameters
    ----------
    folder : Path
        The book.
    sea : str
        Sea of the table's rows.
    """
    files = read_book_files(folder)
    if not (folder / DATABASE_NAME).exists():
        return RigBook(files, file_target(files.class_file, files.boat_file), False, RigFactors())
    with Book.open(folder) as book:
        measured, fitted = book.one("rig_base", SUBJECT), book.one("rig_fit", SUBJECT)
        return RigBook(
            files,
            _target(files, measured),
            measured is not None and not measured.is_blank,
            _factors(fitted),
            {one.key.subject: _value(one) for one in book.current("rig_turns")},
            {one.key.subject: str(one.value) for one in book.current("screw_lock")},
            _table(files, book, sea),
        )


def _value(entry: Entry) -> float:
    return entry.number.value if entry.number else float(entry.value)


def _target(files: BookFiles, entry: Entry | None) -> BaseTarget:
    plain = file_target(files.class_file, files.boat_file)
    if entry is None or "tensions_n" not in entry.payload:
        return plain
    kept = entry.payload
    rake = kept.get("rake_mm")
    return BaseTarget({**plain.tensions_n, **kept["tensions_n"]}, float(kept["prebend_mm"]), rake)


def _factors(entry: Entry | None) -> RigFactors:
    if entry is None or "wire" not in entry.payload:
        return RigFactors()
    return RigFactors(*(float(entry.payload[name]) for name in ("wire", "mast", "sag")))


def _table(files: BookFiles, book: Book, sea: str) -> dict[float, dict[str, Number]]:
    """Return the numbers of the upwind sails by wind and role, settled gear."""
    upwind = next((one.id for one in files.class_file.sail_sets if one.point == "up"), None)
    rows: dict[float, dict[str, Number]] = {}
    for entry in book.current("setting", subject="table", sail_set=upwind, sea=sea, gear="settled"):
        if entry.key.wind_kn is not None and entry.key.role and entry.number:
            rows.setdefault(entry.key.wind_kn, {})[entry.key.role] = entry.number
    return rows
