from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from cringle.book.store import Book
from cringle.errors import ConflictError, InputError, OutOfRangeError
from cringle.findings import Source
from cringle.settings.table import Table
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import (
    MovesAsked,
    SettingChange,
    list_moves,
    set_number,
    show_table,
    whole_table,
)

CELL = ("main+jib", "chop", "settled", "jib_sheet_leeward")


@pytest.fixture
def folder(book_folder, examples):
    start = datetime(2026, 5, 1, 9, tzinfo=UTC)
    with Book.open(book_folder, create=True, who="coach", clock=lambda: start):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


def value(table: Table, wind_kn=10.0, role="jib_sheet_leeward"):
    return next(one for one in table.column(*CELL[:3], role) if one.wind_kn == wind_kn)


def change(value=4.0, **more):
    return SettingChange(**{"role": "jib_sheet_leeward", "wind_kn": 10.0, "value": value, **more})


def test_shows_the_table_as_it_stands(folder):
    view = show_table(folder)
    assert (view.boat, view.sail_set, view.sea, view.gears) == (
        "Brindle",
        "main+jib",
        "chop",
        ("build", "settled"),
    )
    assert value(view.table).number.value == 3.0
    assert show_table(folder, gear="build").gears == ("build",)
    with pytest.raises(InputError, match="did you mean 'settled'"):
        show_table(folder, gear="setled")


def test_sets_a_number_and_keeps_the_earlier_one(folder):
    done = set_number(folder, change(3.5), who="Tobias", why="felt slow")
    assert (done.before.number.value, done.cell.number.value) == (3.0, 3.5)
    assert (done.cell.number.source, done.cell.number.by) == (Source.ENTERED, "Tobias")
    assert done.warnings == ()
    assert value(show_table(folder).table).number.value == 3.5
    assert value(show_table(folder, as_of=f"#{done.cell.entry_id - 1}").table).number.value == 3.0


def test_an_earlier_table_by_date(folder):
    set_number(folder, change(3.5), who="Tobias", why="x")
    tomorrow = (datetime.now(UTC) + timedelta(days=1)).date().isoformat()
    assert value(show_table(folder, as_of=tomorrow).table).number.value == 3.5
    assert show_table(folder, as_of="2020-01-01").table.cells == ()


def test_refuses_a_number_off_the_scale(folder):
    with pytest.raises(OutOfRangeError, match="jib sheet, leeward: found 13 marks, accepted 0 to 12 marks"):
        set_number(folder, change(13.0), who="x", why="x")
    with Book.open(folder) as book:
        assert value(whole_table(book)).number.value == 3.0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"role": "jib_sheet_leward"}, "did you mean 'jib_sheet_leeward'"),
        ({"sea": "swell"}, "accepted: flat, chop, waves"),
        ({"sail_set": "main+jibb"}, "did you mean 'main"),
        ({"wind_kn": 99.0}, "accepted 0 to 80 kn"),
        ({"gear": " "}, "no gear given"),
    ],
)
def test_refuses_what_the_boat_does_not_know(folder, wrong, words):
    with pytest.raises(InputError, match=words):
        set_number(folder, change(**wrong), who="x", why="x")


def test_warns_when_the_number_is_between_steps(folder):
    done = set_number(folder, change(3.3), who="x", why="x")
    assert done.warnings == ("3.3 is not on a step of 0.5 mark: start numbers will say 3.5",)


def test_advice_for_the_other_line_never_rewrites_its_cell(folder):
    done = set_number(folder, change(4.0), who="x", why="x")
    assert (done.advice.other, done.advice.start, done.advice.end) == ("jib_sheet_windward", 12.0, 11.0)
    assert value(show_table(folder).table, role="jib_sheet_windward").number.value == 12.0
    assert set_number(folder, change(4.0, role="vang"), who="x", why="x").advice is None


def test_a_new_cell_has_nothing_before_it_and_no_advice(folder):
    done = set_number(folder, change(wind_kn=11.0), who="x", why="x")
    assert done.before is None
    assert done.advice is None
    assert value(show_table(folder).table, 11.0).number.value == 4.0


def test_a_stale_base_is_a_conflict_with_both_values(folder):
    seen = value(show_table(folder).table).entry_id
    set_number(folder, change(3.5), who="Tobias", why="x")
    with pytest.raises(ConflictError) as caught:
        set_number(folder, change(5.0, base_id=seen), who="Marit", why="y")
    clash = caught.value.clashes[0]
    assert (clash.yours, clash.theirs, clash.who) == ("5 mark", "3.5 mark", "Tobias")
    assert value(show_table(folder).table).number.value == 3.5


def test_moves_of_every_rule_state_by_person(folder):
    moves = list_moves(folder, MovesAsked(10.0, 14.0))
    assert {"cap_shrouds", "backstay", "jib_halyard"} <= {move.role for move in moves}
    assert [move.who for move in moves] == sorted(
        (move.who for move in moves), key=["Marit", "Keo", "Tobias"].index
    )
    back = list_moves(folder, MovesAsked(14.0, 10.0))
    assert {move.role: move.steps for move in moves} == {move.role: -move.steps for move in back}


def test_moves_with_a_gear_a_sail_set_and_fewer_people(folder):
    build = list_moves(folder, MovesAsked(10.0, 14.0, gear="build"))
    assert build
    run = list_moves(
        folder, MovesAsked(6.0, 12.0, sail_set="main+kite", gear="soak", aboard=("Ines", "Marit", "Keo"))
    )
    assert {move.role for move in run} >= {"kite_sheet_leeward", "vang"}
    assert next(move.who for move in run if move.role == "vang") == "Ines"
    with pytest.raises(InputError, match="accepted 0 to 80 kn"):
        list_moves(folder, MovesAsked(-1.0, 14.0))
