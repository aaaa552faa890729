"""Moving the table on evidence: accept, decline, undo; and the marks that evidence has settled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cringle.book.entries import CellFilter, Entry, NewEntry
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.table import Cell as TableCell
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.numbers.entries import SETTING, SUBJECT, cell_entry, cell_of
from cringle.workflows.trials.evidence import Evidence, RoleEvidence, Row, show_evidence
from cringle.workflows.trials.records import DECISION

ANY_ROW = Row()
NUMBER_DIGITS = 6
SETTLED_ROWS = 3
"""A control is proposed for the next stage of its marks when the evidence has settled so many of its rows."""


@dataclass(frozen=True)
class Proposal:
    """A change of the table that the evidence asks for.

    Parameters
    ----------
    role, unit : str
        What.
    wind_kn : float
        Which row. [kn]
    before, after : float
        Numbers of the table.
    gain, sd : float
        Of the change. [m/min]
    chance : float
        That it is a gain at all.
    observations : int
        How many trials stand behind it.
    because : tuple of str
        Which ones.
    """

    role: str
    unit: str
    wind_kn: float
    before: float
    after: float
    gain: float
    sd: float
    chance: float
    observations: int
    because: tuple[str, ...]


def proposals(found: Evidence) -> list[Proposal]:
    """Return the changes that the evidence asks for."""
    return [
        Proposal(
            role.scale.role,
            role.scale.unit,
            one.cell.wind_kn,
            role.table[one.cell.wind_kn],
            round(role.number(one.cell.wind_kn, one.move_to), NUMBER_DIGITS),
            one.move_gain,
            one.move_sd,
            one.move_chance,
            one.observations,
            tuple(each.name for each in role.influences.get(one.cell.wind_kn, ())),
        )
        for role in found.roles
        for one in role.findings
        if one.move_to is not None
    ]


def stage_proposals(found: Evidence) -> list[str]:
    """Return the roles whose marks may go to the next stage, because evidence has settled their numbers."""
    return [role.scale.role for role in found.roles if _settled(role) >= SETTLED_ROWS]


def _settled(role: RoleEvidence) -> int:
    return sum(one.state in ("settled", "flat") for one in role.findings)


@dataclass(frozen=True)
class Decision:
    """What somebody decided about a proposal: ``accepted``, ``declined`` or ``undone``."""

    proposal: Proposal
    decided: str


@dataclass(frozen=True)
class Place:
    """Which cell a decision is about: role, wind of the row [kn], and the rest of the row."""

    role: str
    wind_kn: float
    row: Row = ANY_ROW


def decide(folder: Path, place: Place, *, who: str, why: str = "", accept: bool = True) -> Decision:
    """Accept or decline what the evidence asks for; both are kept, an accepted one moves the table.

    Raises
    ------
    InputError
        The evidence asks for no change there.
    ConflictError
        Somebody else changed the number meanwhile.
    """
    role, wind_kn = place.role, place.wind_kn
    found = show_evidence(folder, place.row, role=role)
    fitting = [one for one in proposals(found) if abs(one.wind_kn - wind_kn) < 1e-6]
    if not fitting:
        raise InputError(
            f"the evidence asks for no change of {role} at {wind_kn:g} kn",
            next_step="see what it says: cringle trial evidence",
        )
    proposal = fitting[0]
    with open_records(folder, who=who) as records:
        words = why or f"{proposal.observations} trials: {proposal.gain:+.1f} m a minute"
        entries = [_decision_entry(records, proposal, found.row, "accepted" if accept else "declined", words)]
        if accept:
            entries.append(_setting_entry(records, proposal, found.row))
        records.book.write(entries, why=words)
    return Decision(proposal, "accepted" if accept else "declined")


def _cell_key(row: Row, role: str, wind_kn: float) -> CellFilter:
    return {"sail_set": row.sail_set, "sea": row.sea, "wind_kn": wind_kn, "gear": row.gear, "role": role}


def _decision_entry(records: Records, proposal: Proposal, row: Row, decided: str, why: str) -> NewEntry:
    key = _cell_key(row, proposal.role, proposal.wind_kn)
    stands = records.book.one(DECISION, SUBJECT, **key)
    kept = {**vars(proposal), "because": list(proposal.because), "decided": decided, "why": why}
    return NewEntry(DECISION, SUBJECT, kept, base_id=stands.id if stands else None, **key)


def _setting_entry(records: Records, proposal: Proposal, row: Row) -> NewEntry:
    key = _cell_key(row, proposal.role, proposal.wind_kn)
    stands = records.book.one(SETTING, SUBJECT, **key)
    cell = TableCell(
        sail_set=row.sail_set or "",
        sea=row.sea,
        wind_kn=proposal.wind_kn,
        gear=row.gear,
        role=proposal.role,
        number=Number(proposal.after, proposal.unit, Source.TRIAL),
        observations=proposal.observations,
    )
    return cell_entry(cell, stands.id if stands else None)


def undo(folder: Path, place: Place, *, who: str) -> Decision:
    """Take back an accepted change: the number and provenance that stood before stand again.

    Raises
    ------
    InputError
        No change of that cell was accepted.
    """
    role, wind_kn = place.role, place.wind_kn
    found = show_evidence(folder, place.row, role=role)
    with open_records(folder, who=who) as records:
        key = _cell_key(found.row, role, wind_kn)
        entry = records.book.one(DECISION, SUBJECT, **key)
        if entry is None or entry.payload.get("decided") != "accepted":
            raise InputError(f"no accepted change of {role} at {wind_kn:g} kn", next_step="nothing to undo")
        proposal = _proposal_of(entry)
        entries = [_decision_entry(records, proposal, found.row, "undone", "undone")]
        entries.append(_before(records, key))
        records.book.write(entries, why="accepted change undone")
        return Decision(proposal, "undone")


def _before(records: Records, key: CellFilter) -> NewEntry:
    """Return the entry that brings back what stood before the newest number of a trial."""
    history = records.book.history(SETTING, subject=SUBJECT, **key)
    now = history[-1]
    earlier = [one for one in history[:-1] if one.id < now.id]
    cell = cell_of(earlier[-1]) if earlier else None
    if cell is None:
        return NewEntry(SETTING, SUBJECT, {"value": None}, base_id=now.id, **key)
    return cell_entry(cell, now.id)


@dataclass(frozen=True)
class Decided:
    """The newest decision about a cell: where, what, by whom and why, when (UTC)."""

    place: Place
    decision: Decision
    who: str
    why: str
    at: datetime


def decisions(folder: Path) -> list[Decided]:
    """Return the newest decision of every cell, newest first."""
    with open_records(folder) as records:
        entries = records.book.current(DECISION)
    return [_decided(one) for one in sorted(entries, key=lambda one: -one.id)]


def _decided(entry: Entry) -> Decided:
    key = entry.key
    place = Place(key.role or "", key.wind_kn or 0.0, Row(key.sail_set, key.sea or "", key.gear or ""))
    decision = Decision(_proposal_of(entry), str(entry.payload["decided"]))
    return Decided(place, decision, entry.who, entry.why, entry.at)


def _proposal_of(entry: Entry) -> Proposal:
    names = Proposal.__dataclass_fields__
    kept = {name: value for name, value in entry.payload.items() if name in names}
    return Proposal(**{**kept, "because": tuple(kept["because"])})
