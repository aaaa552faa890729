from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.book.store import Book
from cringle.errors import InputError, OutOfRangeError
from cringle.findings import Source
from cringle.rig.inverse import Target
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.rig.rig import (
    SolveRequest,
    rig_base,
    rig_sheet,
    rig_solve,
    rig_turns,
    with_prebend_kept,
)


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


def test_works_without_any_records(book_folder):
    found = rig_turns(book_folder, {"cap_shrouds": 1.0, "lower_shrouds": 0.5})
    assert found.turns == {"cap_port": 1.0, "cap_starboard": 1.0, "lower_port": 0.5, "lower_starboard": 0.5}
    assert found.dock.state.tensions_n["cap_port"] > 2600.0
    assert found.sailing.state.sag_mm > 30.0
    assert "no lock is on record for 5 of 5 screws" in found.warnings[0]
    assert not rig_base(book_folder).is_measured


def test_backstay_of_the_table_is_used(folder):
    table, top = rig_turns(folder, {}, wind_kn=20.0), rig_turns(folder, {}, wind_kn=20.0, pull_mm=0.0)
    assert table.sailing.setting.backstay_pull_mm == 525.0
    assert table.sailing.state.sag_mm < top.sailing.state.sag_mm


def test_beyond_the_thread(book_folder):
    with pytest.raises(OutOfRangeError, match="Cap shroud screw, port"):
        rig_turns(book_folder, {"cap_shrouds": 7.0})


def test_sheet_takes_the_books_turns_and_computes_the_rest(folder):
    found = rig_sheet(folder, winds_kn=[8.0, 9.0, 14.0])
    assert [row.source for row in found.rows] == [Source.MEASURED, Source.COMPUTED, Source.MEASURED]
    assert found.rows[2].turns == {"cap_shrouds": 2.0, "lower_shrouds": 1.0, "forestay": 0.0}
    assert found.rule_states["forestay"] == "ashore"
    assert found.rules["cap_shrouds"] == "C.9.4 (2026)"
    assert found.boat == "Brindle"


def test_a_guess_among_the_turns_makes_the_row_a_guess(folder):
    assert rig_sheet(folder, winds_kn=[20.0]).rows[0].source == Source.GUESS


def test_sheet_all_from_the_model(folder):
    found = rig_sheet(folder, winds_kn=[8.0, 14.0], source="model")
    assert {row.source for row in found.rows} == {Source.COMPUTED}
    with pytest.raises(InputError, match="source 'rumour'"):
        rig_sheet(folder, source="rumour")


def test_solve_for_tension_and_prebend(book_folder):
    request = SolveRequest((Target("cap_port_n", 3000.0), Target("prebend_mm", 30.0)))
    found = rig_solve(book_folder, request)
    assert_allclose(found.proposal.reached, [3000.0, 30.0], rtol=0.06)
    assert set(found.proposal.turns) == {"cap_shrouds", "lower_shrouds"}


def test_solve_for_less_sag_keeps_the_prebend(book_folder):
    found = rig_solve(book_folder, SolveRequest((Target("sag_mm", -8.0, True, "change"),), wind_kn=12.0))
    assert [one.name for one in found.targets] == ["sag_mm", "prebend_mm"]
    assert_allclose(found.proposal.dock.state.prebend_mm, 25.0, atol=3.0)


def test_prebend_is_added_only_where_there_is_a_choice():
    sag, roles = Target("sag_mm", 80.0, True), ("cap_shrouds", "lower_shrouds")
    assert len(with_prebend_kept((sag,), roles)) == 2
    assert with_prebend_kept((sag,), ("cap_shrouds",)) == (sag,)
    bend = Target("prebend_mm", 20.0)
    assert with_prebend_kept((bend,), roles) == (bend,)
