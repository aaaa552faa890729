from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.books.history import (
    TABLE_KINDS,
    Back,
    Wanted,
    batch_as_json,
    kinds_named,
    revert,
    reverted_as_json,
    show_history,
)


def cell(value: float | None, base_id: int | None = None, role: str = "backstay") -> NewEntry:
    payload = {"value": value, "source": "entered"} if value is not None else {"value": None}
    return NewEntry(
        "setting", "table", payload, unit="mark", sail_set="main+jib", sea="chop", wind_kn=10.0,
        gear="settled", role=role, base_id=base_id,
    )  # fmt: skip


@pytest.fixture
def folder(book_folder: Path) -> Path:
    with Book.open(book_folder, create=True, who="Ines") as book:
        book.write([cell(3.0), cell(1.0, role="vang")], why="first table")
        book.write([cell(4.0, 1)], why="more wind")
        book.write([NewEntry("observation", "2026-05-01", {"text": "gust"})], why="note")
    with Book.open(book_folder, who="Tobias") as book:
        row = {"sail_set": "main+jib", "wind_kn": 10.0, "gear": "settled"}
        cue = NewEntry("cue", "table", {"value": "leech opens"}, **row)  # type: ignore[arg-type]
        book.write([cell(5.0, 3), cue], why="more still")
    return book_folder


def values(folder: Path) -> dict[str | None, float]:
    with Book.open(folder) as book:
        return {entry.key.role: entry.value for entry in book.current("setting")}


def test_history_is_shown_as_batches(folder: Path) -> None:
    found = show_history(folder, Wanted())
    assert [(batch.who, batch.why, len(batch.entries)) for batch in found] == [
        ("Ines", "first table", 2), ("Ines", "more wind", 1), ("Ines", "note", 1), ("Tobias", "more still", 2)
    ]  # fmt: skip
    assert batch_as_json(found[0])["entries"][0]["value"] == {"value": 3.0, "source": "entered", "by": "Ines"}


@pytest.mark.parametrize(
    ("wanted", "ids"),
    [
        (Wanted(kind="table"), [1, 2, 3, 5, 6]),
        (Wanted(kind="setting", role="backstay"), [1, 3, 5]),
        (Wanted(subject="2026-05-01"), [4]),
        (Wanted(wind_kn=10.0, who="tobias"), [5, 6]),
        (Wanted(limit=2), [5, 6]),
        (Wanted(kind="mark_stage"), []),
    ],
)
def test_history_is_filtered(folder: Path, wanted: Wanted, ids: list[int]) -> None:
    assert [entry.id for batch in show_history(folder, wanted) for entry in batch.entries] == ids


def test_one_step_back_takes_the_last_change_of_the_table_with_its_cues(folder: Path) -> None:
    done = revert(folder, Back(), who="Marit")
    assert values(folder) == {"backstay": 4.0, "vang": 1.0}
    assert len(done.changes) == 2
    assert done.written is not None
    assert {entry.who for entry in done.written} == {"Marit"}
    assert len({entry.batch_uid for entry in done.written}) == 1, "table and cues go back together"
    with Book.open(folder) as book:
        assert book.current("cue") == []
    revert(folder, Back(), who="Marit")
    assert values(folder) == {"backstay": 5.0, "vang": 1.0}, "going back can be taken back"


def test_several_steps_and_a_given_moment(folder: Path) -> None:
    revert(folder, Back(steps=2), who="Marit")
    assert values(folder) == {"backstay": 3.0, "vang": 1.0}
    revert(folder, Back(to="#3"), who="Marit")
    assert values(folder) == {"backstay": 4.0, "vang": 1.0}
    revert(folder, Back(to="2020-01-01"), who="Marit")
    assert values(folder) == {}


def test_only_showing_writes_nothing(folder: Path) -> None:
    done = revert(folder, Back(to="#2"), who="Marit", only_show=True)
    assert done.written is None
    assert reverted_as_json(done)["changes"] == [
        {"key": "setting table main+jib chop 10 kn settled backstay", "to": "3 mark"},
        {"key": "cue table main+jib 10 kn settled", "to": "(blank)"},
    ]
    assert values(folder) == {"backstay": 5.0, "vang": 1.0}


def test_more_steps_than_there_are(folder: Path) -> None:
    with pytest.raises(InputError, match="4 steps back: 3 changes of table are in the history"):
        revert(folder, Back(steps=4), who="Marit")
    with pytest.raises(InputError, match="is no date"):
        revert(folder, Back(to="last week"), who="Marit")
    with pytest.raises(InputError, match="cannot be taken back"):
        revert(folder, Back(kind="observation"), who="Marit")


def test_table_names_all_kinds_of_the_table() -> None:
    assert kinds_named("table") == TABLE_KINDS
    assert {"setting", "cue", "posture", "heel_target"} == set(TABLE_KINDS)
    assert kinds_named("mark_stage") == ("mark_stage",)
