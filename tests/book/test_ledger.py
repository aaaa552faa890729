from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from sqlalchemy import Connection

from cringle.book.connect import engine_for, writing
from cringle.book.entries import REGARDLESS, Entry, Key, NewEntry
from cringle.book.identifiers import uuid7
from cringle.book.ledger import (
    ROWS_AT_ONCE,
    Outcome,
    Stamp,
    add,
    checked,
    clashes_with,
    known,
    newest_id,
    newest_of,
    put,
    signed,
)
from cringle.book.store import Book

Cell = Callable[..., NewEntry]
AT = datetime(2026, 5, 1, 17, 0, tzinfo=UTC)
STAMP = Stamp(AT, "Ines", "x", uuid7(AT), "phone")


@pytest.fixture
def connection(book: Book) -> Iterator[Connection]:
    engine = engine_for(book.path)
    with writing(engine, book.path) as opened:
        yield opened
    engine.dispose()


def test_an_empty_history_begins_with_1(connection: Connection, cell: Cell) -> None:
    assert newest_id(connection) == 0
    (first,) = add(connection, [cell(4.0)], STAMP)
    assert (first.id, newest_id(connection)) == (1, 1)
    assert (first.who, first.why, first.device, first.at, first.batch_uid) == (
        "Ines", "x", "phone", AT, STAMP.batch_uid
    )  # fmt: skip


def test_nothing_added_is_nothing(connection: Connection) -> None:
    assert add(connection, [], STAMP) == []
    assert put(connection, [], STAMP) == Outcome(())


def test_known_finds_any_number_of_uids(connection: Connection) -> None:
    count = 2 * ROWS_AT_ONCE + 7
    notes = [NewEntry("observation", "d", {"n": number}) for number in range(count)]
    written = add(connection, notes, STAMP)
    found = known(connection, [entry.uid for entry in written])
    assert len(found) == count
    assert found[written[-1].uid] == written[-1]
    assert known(connection, []) == {}
    assert known(connection, [uuid7(AT)]) == {}


def test_newest_of_finds_the_newest_of_each_key(connection: Connection, cell: Cell) -> None:
    add(connection, [cell(1.0), cell(2.0, wind_kn=12.0), cell(3.0)], STAMP)
    found = newest_of(connection, [cell().key])
    assert {key.wind_kn: entry.value for key, entry in found.items()} == {8.0: 3.0, 12.0: 2.0}
    assert newest_of(connection, [Key("mark_stage", "vang")]) == {}


@pytest.mark.parametrize(
    ("kind", "base_id", "is_checked"),
    [
        ("setting", None, True),
        ("setting", 3, True),
        ("setting", REGARDLESS, False),
        ("observation", None, False),
        ("observation", 3, False),
    ],
)
def test_events_and_regardless_writes_are_not_checked(kind: str, base_id: object, is_checked: bool) -> None:
    entry = NewEntry(kind, "x", {}, base_id=base_id)  # type: ignore[arg-type]
    assert checked(entry) is is_checked


def standing(entry: NewEntry, number: int, *, blank: bool = False) -> Entry:
    payload = {"value": None} if blank else entry.payload
    return Entry(number, uuid7(AT), uuid7(AT), AT, "Keo", "x", entry.key, payload)


def test_what_clashes_with_what(cell: Cell) -> None:
    plain = cell(4.0)
    assert not clashes_with(plain, None), "nothing seen, nothing there"
    assert clashes_with(plain, standing(plain, 3)), "nothing seen, something there"
    assert not clashes_with(plain, standing(plain, 3, blank=True)), "nothing seen, emptied"
    seen = replace(plain, base_id=3)
    assert not clashes_with(seen, standing(plain, 3)), "seen what is there"
    assert clashes_with(seen, standing(plain, 4)), "seen something older"
    assert clashes_with(seen, standing(plain, 4, blank=True)), "seen something, emptied since"
    assert clashes_with(seen, None), "seen something that was never here"
    assert not clashes_with(replace(plain, base_id=REGARDLESS), standing(plain, 3))


def test_a_refusal_keeps_every_clash_of_the_batch(connection: Connection, cell: Cell) -> None:
    add(connection, [cell(1.0), cell(2.0, wind_kn=12.0)], STAMP)
    outcome = put(connection, [cell(5.0), cell(6.0, wind_kn=12.0), cell(7.0, wind_kn=20.0)], STAMP)
    assert outcome.entries == ()
    assert [clash.yours for clash in outcome.clashes] == ["5 mark", "6 mark"]
    assert newest_id(connection) == 4, "two refusals, and nothing else"


def test_a_refused_uid_may_come_again(connection: Connection, cell: Cell) -> None:
    add(connection, [cell(1.0)], STAMP)
    uid = uuid7(AT)
    assert put(connection, [cell(5.0, uid=uid)], STAMP).clashes
    (entry,) = put(connection, [cell(5.0, uid=uid, base_id=1)], STAMP).entries
    assert (entry.uid, entry.value) == (uid, 5.0)


@pytest.mark.parametrize(
    ("payload", "kept"),
    [
        ({"value": 4.0, "source": "entered"}, {"by": "Ines", "value": 4.0, "source": "entered"}),
        ({"value": 4.0, "source": "trial", "by": "pairs"}, {"value": 4.0, "source": "trial", "by": "pairs"}),
        ({"text": "gust"}, {"text": "gust"}),
    ],
)
def test_a_number_is_signed_by_who_gave_it(payload: dict[str, object], kept: dict[str, object]) -> None:
    assert signed(payload, "Ines") == kept
