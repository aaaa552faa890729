from __future__ import annotations

from pathlib import Path

import pytest

from cringle.web.views.numbers import MOST_CHANGES, cell_view, gear_table, numbers_view
from cringle.workflows.numbers.cells import CellPlace
from cringle.workflows.numbers.settings import SettingChange, set_number, show_table

SAILS = (("main+jib", "Main and jib"),)


def view_of(folder: Path, sea: str = "chop"):
    return numbers_view(folder, SAILS, sail_set=None, sea=sea, as_of=None)


def test_a_column_has_a_cell_or_a_blank_for_every_wind(folder: Path) -> None:
    for gear in view_of(folder).gears:
        assert list(gear.winds_kn) == sorted(set(gear.winds_kn))
        for column in gear.columns:
            assert len(column.cells) == len(gear.winds_kn)
            for wind, cell in zip(gear.winds_kn, column.cells, strict=True):
                assert cell is None or (cell.wind_kn, cell.role, cell.gear) == (
                    wind, column.scale.role, gear.gear,
                )  # fmt: skip


def test_a_sea_without_rows_shows_another_and_says_which(folder: Path) -> None:
    own = view_of(folder)
    other = view_of(folder, "flat")
    assert own.other_sea is None
    assert (other.other_sea is None) == any(one.sea == "flat" for one in other.table.table.cells)
    assert other.table.sea in other.seas


def test_the_newest_changes_come_first_and_not_too_many(folder: Path) -> None:
    for place in range(MOST_CHANGES + 2):
        set_number(folder, SettingChange("vang", 10.0, 4.0 + 0.5 * (place % 2)), who="coach", why=f"{place}")
    changes = view_of(folder).changes
    assert len(changes) == MOST_CHANGES
    assert changes[0].why == str(MOST_CHANGES + 1)
    assert [one.first for one in changes] == sorted((one.first for one in changes), reverse=True)


def test_a_gear_without_numbers_has_no_columns(folder: Path) -> None:
    table = gear_table(show_table(folder), "third")
    assert (table.winds_kn, table.columns) == ((), ())


def test_a_cell_knows_the_entry_its_editor_has_seen(folder: Path) -> None:
    before = cell_view(folder, CellPlace("vang", 10.0))
    set_number(folder, SettingChange("vang", 10.0, 5.0), who="Ines", why="felt free")
    after = cell_view(folder, CellPlace("vang", 10.0))
    assert before.base_id is not None
    assert after.base_id is not None
    assert after.base_id > before.base_id
    entry, words = after.lines[0]
    assert (entry.who, entry.why) == ("Ines", "felt free")
    assert words.startswith("5")
    assert after.lines[1:] == before.lines


def test_an_empty_cell_has_a_line_without_tape(folder: Path) -> None:
    view = cell_view(folder, CellPlace("vang", 17.0))
    assert view.base_id is None
    assert view.lines == ()
    assert view.rule.low < view.rule.high


@pytest.mark.parametrize("until", [0])
def test_a_locked_page_sees_only_what_was_there(folder: Path, until: int) -> None:
    assert cell_view(folder, CellPlace("vang", 10.0), until=until).lines == ()
