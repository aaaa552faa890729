"""Adding to the history inside one transaction: what is new, what clashes, what is kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from sqlalchemy import Connection, func, insert, select

from cringle.book.entries import EVENT_KINDS, REGARDLESS, Base, Entry, Key, NewEntry, payload_text, said
from cringle.book.identifiers import uuid7
from cringle.book.rows import entry_of, row_of_key, time_text
from cringle.book.schema import CURRENT, ENTRY
from cringle.errors import Clash, InputError

ROWS_AT_ONCE = 500
"""Names in one IN (...) list; SQLite's own limit is higher on every version in use."""


NEWEST_ID: Final = select(func.coalesce(func.max(ENTRY.c.id), 0))
"""Asked at every look at the book, so it is built once."""


@dataclass(frozen=True)
class Stamp:
    """What all entries of one batch share."""

    at: datetime
    who: str
    why: str
    batch_uid: UUID
    device: str | None


@dataclass(frozen=True)
class Outcome:
    """What came of a write: the entries that stand, or the clashes that stopped all of them."""

    entries: tuple[Entry, ...]
    clashes: tuple[Clash, ...] = ()


def newest_id(connection: Connection) -> int:
    """Return the id of the newest entry, 0 when there is none."""
    return int(connection.execute(NEWEST_ID).scalar_one())


def newest_of(connection: Connection, keys: Iterable[Key]) -> dict[Key, Entry]:
    """Return the newest entry of each key that has one (and of their neighbours of the same subject)."""
    wanted = {(key.kind, key.subject) for key in keys}
    found: dict[Key, Entry] = {}
    for kind, subject in wanted:
        rows = connection.execute(select(CURRENT).where(CURRENT.c.kind == kind, CURRENT.c.subject == subject))
        found.update((entry.key, entry) for entry in map(entry_of, rows))
    return found


def known(connection: Connection, uids: Iterable[UUID]) -> dict[UUID, Entry]:
    """Return the entries of these uids that the book holds already."""
    names = [str(uid) for uid in uids]
    found: dict[UUID, Entry] = {}
    for start in range(0, len(names), ROWS_AT_ONCE):
        rows = connection.execute(select(ENTRY).where(ENTRY.c.uid.in_(names[start : start + ROWS_AT_ONCE])))
        found.update((entry.uid, entry) for entry in map(entry_of, rows))
    return found


def put(connection: Connection, entries: Sequence[NewEntry], stamp: Stamp) -> Outcome:
    """Write a batch, or refuse all of it and keep what was refused.

    An entry whose uid is in the book already is not written twice. When one entry clashes, none is
    written; each refused one is kept as an event of kind ``refused``, so that both values stay.
    """
    here = known(connection, [entry.uid for entry in entries if entry.uid is not None])
    fresh = [entry for entry in entries if entry.uid not in here]
    _refuse_changed(entries, here)
    _refuse_doubles(fresh)
    newest = newest_of(connection, [entry.key for entry in fresh if entry.kind not in EVENT_KINDS])
    clashing = [entry for entry in fresh if clashes_with(entry, newest.get(entry.key))]
    if clashing:
        clashes = [clash_of(connection, entry, newest.get(entry.key)) for entry in clashing]
        add(connection, list(map(_refusal, clashing, clashes)), stamp)
        return Outcome((), tuple(clashes))
    written = iter(add(connection, _on_top(fresh, newest, newest_id(connection) + 1), stamp))
    return Outcome(tuple(here[one.uid] if one.uid in here else next(written) for one in entries))


def _on_top(entries: Sequence[NewEntry], newest: Mapping[Key, Entry], first: int) -> list[NewEntry]:
    """Return the entries with the id of what each covers, so that the chain of a cell has no gap."""
    covered = {key: entry.id for key, entry in newest.items()}
    found = []
    for number, entry in enumerate(entries, start=first):
        is_event = entry.kind in EVENT_KINDS
        found.append(replace(entry, base_id=None if is_event else covered.get(entry.key)))
        covered[entry.key] = number
    return found


def checked(entry: NewEntry) -> bool:
    """Whether a write of this entry depends on what stood there before."""
    return entry.kind not in EVENT_KINDS and entry.base_id is not REGARDLESS


def clashes_with(entry: NewEntry, theirs: Entry | None) -> bool:
    """Whether a cell no longer holds what the writer of an entry had seen.

    An empty cell and one that was emptied are the same to somebody who saw nothing.
    """
    if not checked(entry) or entry.base_id == (theirs.id if theirs else None):
        return False
    return not (entry.base_id is None and theirs is not None and theirs.is_blank)


def clash_of(connection: Connection, entry: NewEntry, theirs: Entry | None) -> Clash:
    """Return what two people wrote in one place, and what the later one had seen there."""
    base_id = None if isinstance(entry.base_id, Base) else entry.base_id
    seen = connection.execute(select(ENTRY).where(ENTRY.c.id == base_id)).one_or_none()
    base = None if seen is None else entry_of(seen)
    return Clash(
        key=str(entry.key),
        yours=said(entry.payload, entry.unit),
        theirs="(nothing)" if theirs is None else said(theirs.payload, theirs.unit),
        who="nobody" if theirs is None else theirs.who,
        at="" if theirs is None else time_text(theirs.at),
        base="nothing" if base is None else said(base.payload, base.unit),
        base_id=base_id,
    )


def add(connection: Connection, entries: Sequence[NewEntry], stamp: Stamp) -> list[Entry]:
    """Append entries without looking at what stood there; the writer's lock keeps their ids in order."""
    first = newest_id(connection) + 1
    written = [_entry(number, entry, stamp) for number, entry in enumerate(entries, start=first)]
    append(connection, written)
    return written


def append(connection: Connection, entries: Sequence[Entry]) -> None:
    """Insert finished entries as rows."""
    if entries:
        connection.execute(insert(ENTRY), [_row(entry) for entry in entries])


def _entry(number: int, entry: NewEntry, stamp: Stamp) -> Entry:
    base_id = None if isinstance(entry.base_id, Base) else entry.base_id
    return Entry(
        id=number,
        uid=entry.uid or uuid7(stamp.at),
        batch_uid=stamp.batch_uid,
        at=stamp.at,
        who=stamp.who,
        why=stamp.why,
        key=entry.key,
        payload=signed(entry.payload, stamp.who),
        unit=entry.unit,
        base_id=base_id,
        device=stamp.device,
    )


def signed(payload: Mapping[str, Any], who: str) -> dict[str, Any]:
    """Return the payload with the name of who gave a number, unless it says so itself."""
    return {"by": who, **payload} if "source" in payload else dict(payload)


def _row(entry: Entry) -> dict[str, object]:
    return {
        "id": entry.id,
        "uid": str(entry.uid),
        "batch_uid": str(entry.batch_uid),
        "at_utc": time_text(entry.at),
        "who": entry.who,
        "why": entry.why,
        **row_of_key(entry.key),
        "value_json": payload_text(entry.payload),
        "unit": entry.unit,
        "base_id": entry.base_id,
        "device": entry.device,
    }


def _refusal(entry: NewEntry, clash: Clash) -> NewEntry:
    kept = {
        "payload": dict(entry.payload),
        "unit": entry.unit,
        "base_id": clash.base_id,
        "stood": clash.theirs,
    }
    return replace(
        entry, kind="refused", payload={"kind": entry.kind, **kept}, unit=None, base_id=None, uid=None
    )


def _refuse_changed(entries: Sequence[NewEntry], here: Mapping[UUID, Entry]) -> None:
    for entry in entries:
        if entry.uid is not None and (stands := here.get(entry.uid)) is not None and stands.key != entry.key:
            raise InputError(
                f"entry {entry.uid} is in the book as {stands.key}, not as {entry.key}",
                next_step="give a new entry its own uid",
            )


def _refuse_doubles(entries: Sequence[NewEntry]) -> None:
    uids = [entry.uid for entry in entries if entry.uid is not None]
    if len(set(uids)) < len(uids):
        raise InputError("one batch has the same uid twice", next_step="give each new entry its own uid")
    keys = [entry.key for entry in entries if checked(entry)]
    doubles = {str(key) for key in keys if keys.count(key) > 1} if len(set(keys)) < len(keys) else set()
    if doubles:
        raise InputError(
            f"one batch writes the same cell twice: {', '.join(sorted(doubles))}",
            next_step="give each cell one value",
        )
