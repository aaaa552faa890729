from __future__ import annotations

import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.book.entries import REGARDLESS, NewEntry, blank_payload, number_payload
from cringle.book.fits import NewFit
from cringle.book.identifiers import uuid7
from cringle.book.store import Book, utc_now
from cringle.errors import BookError, ConflictError, InputError
from cringle.findings import Number, Source

Cell = Callable[..., NewEntry]


def test_no_book_is_made_unless_asked(tmp_path: Path) -> None:
    with pytest.raises(BookError, match="there is no book here"):
        Book.open(tmp_path / "nothing")
    assert not (tmp_path / "nothing").exists()


def test_an_empty_name_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="who writes is empty"):
        Book.open(tmp_path, create=True, who=" ")


def test_what_was_written_stands_after_reopening(book: Book, cell: Cell) -> None:
    (written,) = book.write([cell(4.0)], why="felt slow")
    book.close()
    with Book.open(book.directory) as again:
        (found,) = again.current("setting")
    assert found == written
    assert (found.who, found.why, found.device, found.unit) == ("Ines", "felt slow", "phone", "mark")
    assert found.at == datetime(2026, 5, 1, 17, 0, 1, tzinfo=UTC)
    assert found.number == Number(4.0, "mark", Source.ENTERED, by="Ines", at=found.at)


def test_one_batch_shares_its_uid_and_time(book: Book, cell: Cell) -> None:
    written = book.write([cell(wind_kn=6.0), cell(wind_kn=8.0)], why="x")
    assert len({entry.batch_uid for entry in written}) == 1
    assert len({entry.uid for entry in written}) == 2
    assert [entry.id for entry in written] == [1, 2]
    assert book.newest() == 2
    assert book.write([], why="nothing") == []


def test_filters_match_parts_of_a_key(book: Book, cell: Cell) -> None:
    book.write(
        [cell(wind_kn=6.0), cell(wind_kn=8.0), cell(wind_kn=8.0, role="vang"), cell(sea=None)], why="x"
    )
    assert len(book.current("setting")) == 4
    assert len(book.current("setting", wind_kn=8.0)) == 3
    assert len(book.current("setting", sea=None)) == 1
    assert [entry.key.role for entry in book.current("setting", role="vang")] == ["vang"]
    assert book.current("mark_stage") == []
    with pytest.raises(InputError, match="no part of a key: colour"):
        book.current("setting", colour="red")  # type: ignore[call-arg]


def test_a_write_that_saw_an_older_value_is_refused_with_both(book: Book, cell: Cell) -> None:
    (first,) = book.write([cell(4.0)], why="start")
    other = Book.open(book.directory, who="Tobias")
    other.write([_on(cell(5.0), first.id)], why="more wind")
    with pytest.raises(ConflictError) as refused:
        book.write([_on(cell(3.0), first.id), cell(wind_kn=12.0)], why="less wind")
    other.close()
    (clash,) = refused.value.clashes
    assert (clash.yours, clash.theirs, clash.base) == ("3 mark", "5 mark", "4 mark")
    assert (clash.who, clash.base_id) == ("Tobias", first.id)
    assert refused.value.exit_status == 3
    assert [entry.value for entry in book.current("setting")] == [5.0], "nothing of the batch counts"
    (kept,) = book.history("refused")
    assert kept.payload["payload"]["value"] == 3.0, "the refused value stays in the history"
    assert kept.payload["kind"] == "setting"


def _on(entry: NewEntry, base_id: int) -> NewEntry:
    from dataclasses import replace

    return replace(entry, base_id=base_id)


def test_having_seen_nothing_conflicts_with_something(book: Book, cell: Cell) -> None:
    book.write([cell(4.0)], why="x")
    with pytest.raises(ConflictError, match="you had seen nothing"):
        book.write([cell(4.0)], why="x")
    with pytest.raises(ConflictError, match=r"\(nothing\)"):
        book.write([_on(cell(4.0, wind_kn=20.0), 77)], why="x")


def test_an_emptied_cell_is_not_shown_and_can_be_filled(book: Book, cell: Cell) -> None:
    (first,) = book.write([cell(4.0)], why="x")
    blank = NewEntry(
        "setting",
        "table",
        blank_payload(),
        sail_set="main+jib",
        sea="chop",
        wind_kn=8.0,
        gear="settled",
        role="jib_sheet_leeward",
        base_id=first.id,
    )
    book.write([blank], why="not true any more")
    assert book.current("setting") == []
    assert [entry.is_blank for entry in book.current("setting", include_blank=True)] == [True]
    book.write([cell(5.0)], why="new")
    assert [entry.base_id for entry in book.history("setting")] == [None, 1, 2]


def test_events_and_regardless_writes_never_conflict(book: Book) -> None:
    note = NewEntry("observation", "2026-05-01", {"text": "puffs from the left"})
    book.write([note], why="x")
    book.write([note], why="x")
    assert len(book.history("observation", subject="2026-05-01")) == 2
    state = NewEntry("mark_stage", "vang", {"value": "taped"}, base_id=REGARDLESS)
    book.write([state], why="x")
    book.write([state], why="x")
    assert [entry.base_id for entry in book.history("mark_stage")] == [None, 3]


def test_the_same_cell_twice_in_one_batch_is_refused(book: Book, cell: Cell) -> None:
    with pytest.raises(InputError, match="the same cell twice"):
        book.write([cell(4.0), cell(5.0)], why="x")
    assert book.newest() == 0


def test_a_second_arrival_of_a_uid_changes_nothing(book: Book, cell: Cell) -> None:
    uid = uuid7(utc_now())
    (first,) = book.write([cell(4.0, uid=uid)], why="from the phone")
    (again,) = book.write([cell(4.0, uid=uid)], why="sent again")
    assert again == first
    assert book.newest() == 1
    with pytest.raises(InputError, match="is in the book as"):
        book.write([cell(4.0, uid=uid, wind_kn=20.0)], why="x")


def test_what_comes_back_is_in_the_order_of_what_was_given(book: Book, cell: Cell) -> None:
    uid = uuid7(utc_now())
    book.write([cell(4.0, uid=uid)], why="x")
    written = book.write([cell(1.0, wind_kn=6.0), cell(4.0, uid=uid), cell(2.0, wind_kn=12.0)], why="x")
    assert [entry.key.wind_kn for entry in written] == [6.0, 8.0, 12.0]
    with pytest.raises(InputError, match="the same uid twice"):
        book.write([cell(1.0, uid=(other := uuid7(utc_now()))), cell(1.0, wind_kn=30.0, uid=other)], why="x")


def test_one_cell_written_twice_regardless_keeps_its_chain(book: Book, cell: Cell) -> None:
    book.write([cell(1.0, base_id=REGARDLESS), cell(2.0, base_id=REGARDLESS)], why="x")
    assert [entry.base_id for entry in book.history()] == [None, 1]
    assert [entry.value for entry in book.current("setting")] == [2.0]


@pytest.mark.parametrize("name", ["Möwe & Sohn", "what? #1 50%", "a;b'c", "日本"])
def test_any_name_of_a_directory_will_do(tmp_path: Path, cell: Cell, name: str) -> None:
    with Book.open(tmp_path / name, create=True) as opened:
        opened.write([cell(4.0)], why="x")
        assert opened.check() == []
    assert (tmp_path / name / "book.sqlite").is_file()
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_one_cell_takes_missing_parts_as_unused(book: Book, cell: Cell) -> None:
    book.write(
        [cell(4.0), NewEntry("heel_target", "boat", {"value": 12.0, "source": "guess"}, unit="deg")], why="x"
    )
    found = book.one("heel_target", "boat")
    assert found is not None
    assert found.value == 12.0
    assert book.one("setting", "table", role="jib_sheet_leeward") is None
    assert (
        book.one(
            "setting",
            "table",
            **{
                "sail_set": "main+jib",
                "sea": "chop",
                "wind_kn": 8.0,  # type: ignore[arg-type]
                "gear": "settled",
                "role": "jib_sheet_leeward",
            },
        )
        is not None
    )


def test_history_filters_and_limits(book: Book, cell: Cell) -> None:
    for value in (1.0, 2.0, 3.0):
        book.write([cell(value, base_id=REGARDLESS)], why=f"to {value}")
    assert [entry.value for entry in book.history("setting")] == [1.0, 2.0, 3.0]
    assert [entry.value for entry in book.history("setting", limit=2)] == [2.0, 3.0]
    assert [entry.value for entry in book.history(until=2)] == [1.0, 2.0]
    assert [entry.value for entry in book.history(until=datetime(2026, 5, 1, 17, 0, 2, tzinfo=UTC))] == [
        1.0,
        2.0,
    ]
    with pytest.raises(InputError, match="has no time zone"):
        book.history(until=datetime(2026, 5, 1))


def test_values_that_are_no_numbers_have_none(book: Book) -> None:
    (text,) = book.write(
        [NewEntry("cue", "table", {"value": "leech just opens", "source": "entered"})], why="x"
    )
    assert text.number is None
    (bare,) = book.write([NewEntry("x", "y", {"value": 3})], why="x")
    assert bare.number is None
    assert not bare.is_blank


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM entry",
        "UPDATE entry SET who = 'nobody'",
        "INSERT INTO entry SELECT 1, 'u2', at_utc, who, why, kind, subject, sail_set, sea, wind_kn, gear, "
        "role, value_json, unit, base_id, batch_uid, device FROM entry",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry",
        "DELETE FROM head",
        "UPDATE head SET entry_id = 1",
        "DELETE FROM fit",
        "UPDATE fit SET at = ''",
    ],
)
def test_the_database_itself_refuses_to_forget(book: Book, cell: Cell, statement: str) -> None:
    book.write([cell(4.0)], why="x")
    book.save_fit(NewFit({"hull": 1.02}, [[0.01]], "00", "1"))
    with closing(sqlite3.connect(book.path)) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute(statement)


def test_fits_are_kept_and_the_newest_comes_back(book: Book) -> None:
    assert book.latest_fit() is None
    book.save_fit(NewFit({"hull": 1.02, "air": 0.98}, [[0.01, 0.0], [0.0, 0.02]], "ab", "1"))
    saved = book.save_fit(NewFit({"sails": 0.95, "hull": 1.01}, [[0.02, 0.0], [0.0, 0.02]], "cd", "1"))
    found = book.latest_fit()
    assert found == saved
    assert found is not None
    assert list(found.found.factors) == ["sails", "hull"], "the order is that of the covariance"


def test_places_inside_the_book(book: Book) -> None:
    assert book.logs == book.directory / "logs"
    assert book.path == book.directory / "book.sqlite"


def test_opening_a_book_loads_no_heavy_library(book: Book, cell: Cell) -> None:
    book.write([cell(4.0)], why="x")
    book.close()
    program = (
        "import sys; from pathlib import Path; from cringle.book.store import Book\n"
        "b = Book.open(Path(sys.argv[1])); b.current('setting'); b.close()\n"
        "print([m for m in ('alembic', 'scipy', 'polars', 'numpy', 'pydantic') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(book.directory)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_tonights_numbers_do_not_depend_on_a_guess_of_the_clock(book: Book) -> None:
    payload = number_payload(Number(1.0, "turn", Source.MEASURED))
    (entry,) = book.write([NewEntry("rig_turns", "cap_port", payload, unit="turn")], why="counted")
    assert entry.at == book.history()[0].at
