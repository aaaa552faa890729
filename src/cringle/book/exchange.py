"""Entries that travel between two copies of a book: written out as JSON lines, taken in by uid.

Taking in the same file twice changes nothing. Where both copies changed the same cell, a person says whose
value stands; both stay in the history.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal
from uuid import UUID

from sqlalchemy import Connection, select

from cringle.book.entries import EVENT_KINDS, KEY_FIELDS, Entry, Key, NewEntry, Payload, payload_text, said
from cringle.book.ledger import Stamp, add, append, known, newest_id
from cringle.book.rows import entry_of, time_of, time_text
from cringle.book.schema import CURRENT, ENTRY
from cringle.errors import Clash, ConflictError, InputError

Prefer = Literal["ours", "theirs"]
TEXT_FIELDS = ("uid", "batch_uid", "at_utc", "who", "why", "kind", "subject")
OPTIONAL_FIELDS = ("base_uid", "sail_set", "sea", "gear", "role", "unit", "device")


def preferred(word: str | None) -> Prefer | None:
    """Return whose value a word prefers.

    Raises
    ------
    InputError
        It is neither ``ours`` nor ``theirs``.
    """
    if word in (None, "ours", "theirs"):
        return word  # type: ignore[return-value]  # one of the three, just looked at
    raise InputError(f"--prefer {word!r}; accepted: ours, theirs", next_step="say whose values stand")


@dataclass(frozen=True)
class Travelling:
    """One entry on its way: as `Entry`, but it names its base by uid, because ids differ between copies."""

    uid: UUID
    batch_uid: UUID
    base_uid: UUID | None
    at_utc: str
    who: str
    why: str
    entry: NewEntry
    device: str | None = None

    @property
    def key(self) -> Key:
        """The cell it belongs to."""
        return self.entry.key


@dataclass(frozen=True)
class ImportReport:
    """What came of taking entries in."""

    added: int
    already_there: int
    clashes: tuple[Clash, ...] = ()


@dataclass
class _Plan:
    """What an import would do, found by walking through its entries in their own order."""

    newest: dict[Key, UUID]
    blank: set[Key]
    clashes: list[Clash] = field(default_factory=list)
    clashed: set[Key] = field(default_factory=set)

    def take(self, one: Travelling, ours: Entry | None) -> None:
        """Note one entry and whether it was written on what stands here."""
        key = one.key
        if key.kind not in EVENT_KINDS and not self._fits(one):
            self.clashes.append(_clash(one, ours))
            self.clashed.add(key)
        self.newest[key] = one.uid
        self.blank.discard(key)

    def _fits(self, one: Travelling) -> bool:
        stands = self.newest.get(one.key)
        return one.base_uid == stands or (one.base_uid is None and one.key in self.blank)


def export_entries(connection: Connection) -> list[Travelling]:
    """Return every entry, oldest first, ready to travel."""
    entries = [entry_of(row) for row in connection.execute(select(ENTRY).order_by(ENTRY.c.id))]
    uids = {entry.id: entry.uid for entry in entries}
    return [
        Travelling(
            uid=entry.uid,
            batch_uid=entry.batch_uid,
            base_uid=None if entry.base_id is None else uids[entry.base_id],
            at_utc=time_text(entry.at),
            who=entry.who,
            why=entry.why,
            entry=NewEntry(**_key_names(entry.key), payload=entry.payload, unit=entry.unit, uid=entry.uid),
            device=entry.device,
        )
        for entry in entries
    ]


def import_entries(
    connection: Connection, entries: Sequence[Travelling], stamp: Stamp, prefer: Prefer | None = None
) -> ImportReport:
    """Take in what is not here yet.

    Parameters
    ----------
    connection : Connection
        In a writing transaction.
    entries : sequence of Travelling
        In the order in which their own book wrote them.
    stamp : Stamp
        For the entries that bring our own values back on top when `prefer` is ``ours``.
    prefer : {"ours", "theirs"} or None
        Whose value stands where both changed a cell; None refuses the whole import and lists the cells.

    Raises
    ------
    ConflictError
        Both changed a cell and nobody said whose value stands.
    """
    here = known(connection, [one.uid for one in entries])
    fresh = list({one.uid: one for one in entries if one.uid not in here}.values())
    ours = {entry.key: entry for entry in map(entry_of, connection.execute(select(CURRENT)))}
    plan = _Plan(
        {key: one.uid for key, one in ours.items()}, {key for key, one in ours.items() if one.is_blank}
    )
    for one in fresh:
        plan.take(one, ours.get(one.key))
    if plan.clashes and prefer is None:
        raise ConflictError(
            plan.clashes, next_step="say whose values stand: --prefer ours, or --prefer theirs"
        )
    written = _append(connection, fresh, here)
    if prefer == "ours":
        newest = {entry.key: entry.id for entry in written}
        add(
            connection,
            [_again(key, ours.get(key), newest[key]) for key in sorted(plan.clashed, key=str)],
            stamp,
        )
    return ImportReport(len(fresh), len(entries) - len(fresh), tuple(plan.clashes))


def _append(connection: Connection, fresh: Sequence[Travelling], here: dict[UUID, Entry]) -> list[Entry]:
    bases = known(connection, {one.base_uid for one in fresh if one.base_uid is not None})
    ids = {uid: entry.id for uid, entry in (here | bases).items()}
    written: list[Entry] = []
    for number, one in enumerate(fresh, start=newest_id(connection) + 1):
        ids[one.uid] = number
        written.append(_landed(number, one, ids))
    append(connection, written)
    return written


def _landed(number: int, one: Travelling, ids: dict[UUID, int]) -> Entry:
    return Entry(
        id=number,
        uid=one.uid,
        batch_uid=one.batch_uid,
        at=time_of(one.at_utc),
        who=one.who,
        why=one.why,
        key=one.key,
        payload=one.entry.payload,
        unit=one.entry.unit,
        base_id=None if one.base_uid is None else ids.get(one.base_uid),
        device=one.device,
    )


def _again(key: Key, ours: Entry | None, base_id: int) -> NewEntry:
    payload: Payload = {"value": None} if ours is None else ours.payload
    return NewEntry(**_key_names(key), payload=payload, unit=ours.unit if ours else None, base_id=base_id)


def _clash(one: Travelling, ours: Entry | None) -> Clash:
    return Clash(
        key=str(one.key),
        yours="(nothing)" if ours is None else said(ours.payload, ours.unit),
        theirs=said(one.entry.payload, one.entry.unit),
        who=one.who,
        at=one.at_utc,
        base="nothing" if one.base_uid is None else f"entry {one.base_uid}",
    )


def _key_names(key: Key) -> dict[str, Any]:
    return {name: getattr(key, name) for name in KEY_FIELDS}


def to_json_lines(entries: Iterable[Travelling]) -> str:
    """Return entries as text, one JSON object a line."""
    return "".join(payload_text(_record(one)) + "\n" for one in entries)


def _record(one: Travelling) -> dict[str, Any]:
    return {
        "uid": str(one.uid),
        "batch_uid": str(one.batch_uid),
        "base_uid": None if one.base_uid is None else str(one.base_uid),
        "at_utc": one.at_utc,
        "who": one.who,
        "why": one.why,
        **_key_names(one.key),
        "value": dict(one.entry.payload),
        "unit": one.entry.unit,
        "device": one.device,
    }


def from_json_lines(text: str, name: str = "import") -> list[Travelling]:
    """Read entries from text.

    Parameters
    ----------
    text : str
        One JSON object a line, as `to_json_lines` writes them.
    name : str
        Of the file, for errors.

    Raises
    ------
    InputError
        A line is not one of ours; the message has its number and what is wrong.
    """
    found = []
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip():
            try:
                found.append(_travelling(json.loads(line, parse_constant=_no_nan)))
            except (ValueError, TypeError, KeyError, OverflowError, RecursionError, InputError) as error:
                raise InputError(
                    f"{name}:{number}: not an entry of a book ({_words(error)})",
                    next_step="export the other book again; nothing was taken in",
                ) from error
    return found


def _words(error: Exception) -> str:
    return f"missing {error}" if isinstance(error, KeyError) else str(error)


def _no_nan(word: str) -> float:
    raise ValueError(f"{word} is not a number")


def _travelling(record: Any) -> Travelling:
    if not isinstance(record, dict):
        raise TypeError("not a JSON object")
    for field_name in TEXT_FIELDS:
        if not isinstance(record[field_name], str):
            raise TypeError(f"{field_name} is not a text")
    for field_name in OPTIONAL_FIELDS:
        if not isinstance(record.get(field_name), str | None):
            raise TypeError(f"{field_name} is not a text")
    if not isinstance(record["value"], dict):
        raise TypeError("value is not a JSON object")
    names: dict[str, Any] = {name: record.get(name) for name in KEY_FIELDS}
    return Travelling(
        uid=UUID(record["uid"]),
        batch_uid=UUID(record["batch_uid"]),
        base_uid=None if record.get("base_uid") is None else UUID(record["base_uid"]),
        at_utc=time_text(time_of(record["at_utc"])),
        who=record["who"],
        why=record["why"],
        entry=NewEntry(**names, payload=record["value"], unit=record.get("unit"), uid=UUID(record["uid"])),
        device=record.get("device"),
    )
