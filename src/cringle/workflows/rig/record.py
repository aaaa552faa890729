"""Writing into the book what was done to the rig: turns, locks, a measured base."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cringle.boat.read import read_book_files
from cringle.book.entries import NewEntry, number_payload
from cringle.book.store import Book
from cringle.errors import InputError, OutOfRangeError
from cringle.findings import Number, Source
from cringle.rig.base import BaseTarget, base_tune
from cringle.rig.turns import role_turns
from cringle.workflows.rig.book import LOCKED, SUBJECT, UNLOCKED, read_rig
from cringle.workflows.rig.rig import BaseAnswer


def record_turns(folder: Path, asked: Mapping[str, float], *, who: str, why: str = "") -> dict[str, float]:
    """Write turns from base into the book, screw by screw; return them.

    Raises
    ------
    InputError
        An unknown screw, or turns beyond a thread.
    ConflictError
        Somebody else changed them meanwhile.
    """
    known = read_rig(folder)
    model = known.base().model
    turns = role_turns(model, asked)
    if not turns:
        raise InputError("no turns were given", next_step="give --cap, --lower, --forestay or --screw")
    for name, value in turns.items():
        screw = model.screw(name)
        if not screw.low <= value <= screw.high:
            raise OutOfRangeError(
                screw.name, value, screw.low, screw.high, unit="turns", next_step="count again"
            )
    with Book.open(folder, create=True, who=who) as book:
        entries = []
        for name, value in turns.items():
            stands = book.one("rig_turns", name)
            payload = number_payload(Number(value, "turn", Source.MEASURED))
            base_id = stands.id if stands else None
            entries.append(NewEntry("rig_turns", name, payload, unit="turn", base_id=base_id))
        book.write(entries, why=why or "turns from the base tune")
    return turns


def record_locks(
    folder: Path, screws: Sequence[str], state: str, *, who: str, why: str = ""
) -> tuple[str, ...]:
    """Write whether screws are locked; ``all`` means every screw. Return the screws.

    Raises
    ------
    InputError
        An unknown screw or state.
    """
    if state not in (LOCKED, UNLOCKED):
        raise InputError(f"lock state {state!r}", next_step=f"give {LOCKED} or {UNLOCKED}")
    files = read_book_files(folder)
    known = [one.id for one in files.boat_file.screws]
    names = known if list(screws) == ["all"] else list(screws)
    unknown = [one for one in names if one not in known]
    if unknown or not names:
        found = unknown[0] if unknown else "nothing"
        raise InputError(
            f"no rigging screw {found!r}; there are: {', '.join(known)}, or all", next_step="name one"
        )
    with Book.open(folder, create=True, who=who) as book:
        entries = []
        for name in names:
            stands = book.one("screw_lock", name)
            base_id = stands.id if stands else None
            entries.append(NewEntry("screw_lock", name, {"value": state}, base_id=base_id))
        book.write(entries, why=why or f"screws {state}")
    return tuple(names)


@dataclass(frozen=True)
class BaseMeasured:
    """A base tune as measured.

    Parameters
    ----------
    tensions_n : mapping
        Wire id (``cap``, ``lower``) to tension, mean of both sides.
    prebend_mm, rake_mm : float or None
        None keeps what stands.
    temperature_c, wind_kn : float or None
        Conditions.
    """

    tensions_n: Mapping[str, float]
    prebend_mm: float | None = None
    rake_mm: float | None = None
    temperature_c: float | None = None
    wind_kn: float | None = None


def record_base(folder: Path, measured: BaseMeasured, *, who: str, why: str = "") -> BaseAnswer:
    """Write a measured base tune into the book; it becomes what turns are counted from.

    Raises
    ------
    InputError
        An unknown wire or a tension that is not above zero.
    NotConvergedError
        These numbers cannot stand together; nothing is written.
    """
    known = read_rig(folder)
    wires = {one.id: one for one in known.files.class_file.rig.wires}
    for name, value in measured.tensions_n.items():
        if name not in wires or wires[name].kind in ("forestay", "backstay"):
            free = [one.id for one in wires.values() if one.kind not in ("forestay", "backstay")]
            raise InputError(
                f"the base is set by {', '.join(free)}; found {name!r}",
                next_step="the forestay follows from the shrouds; check it with: cringle rig measure",
            )
        if value <= 0.0:
            raise InputError(f"{name}: a base tension of {value:g} N", next_step="give newtons above zero")
    target = BaseTarget(
        {**known.target.tensions_n, **measured.tensions_n},
        known.target.prebend_mm if measured.prebend_mm is None else measured.prebend_mm,
        known.target.rake_mm if measured.rake_mm is None else measured.rake_mm,
    )
    base = base_tune(known.files.class_file, known.files.boat_file, target=target, factors=known.factors)
    payload: dict[str, Any] = {
        "tensions_n": dict(target.tensions_n),
        "prebend_mm": target.prebend_mm,
        "rake_mm": target.rake_mm,
        "temperature_c": measured.temperature_c,
        "wind_kn": measured.wind_kn,
    }
    with Book.open(folder, create=True, who=who) as book:
        stands = book.one("rig_base", SUBJECT)
        entry = NewEntry("rig_base", SUBJECT, payload, base_id=stands.id if stands else None)
        book.write([entry], why=why or "base tune measured")
    return BaseAnswer(base, True, known.factors, known.warnings(), known.turns)
