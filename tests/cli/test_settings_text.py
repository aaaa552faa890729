from __future__ import annotations

from cringle.boat.base import RuleState
from cringle.cli.settings_text import advice_text, done_text, imported_text, moves_text, table_text
from cringle.findings import Number, Source
from cringle.settings.pairs import PairAdvice
from cringle.settings.roles import RoleScale
from cringle.settings.table import Cell, Table
from cringle.workflows.numbers.csv import Imported
from cringle.workflows.numbers.settings import SettingDone, TableView

SCALE = RoleScale("vang", "vang", "mark", 0, 12, 0.5, "main", "harder", RuleState.ANY_TIME)


def cell(wind_kn, value=2.0, source=Source.ENTERED):
    return Cell(
        "main+jib", "chop", float(wind_kn), "settled", "vang", Number(value, "mark", source), entry_id=7
    )


def view(*cells):
    return TableView("Brindle", Table.of(cells), {"vang": SCALE}, "main+jib", "chop", ("settled",))


def test_a_wide_table_goes_on_below():
    text = table_text(view(*(cell(wind) for wind in range(4, 44))))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert text.count("settled, kn") == 3


def test_a_hole_in_the_table_is_a_dot():
    text = table_text(view(cell(4), Cell("main+jib", "chop", 6.0, "settled", "backstay", cell(6).number)))
    assert [line.split() for line in text.splitlines() if line.startswith("vang")] == [["vang", "2E", "·"]]


def test_an_empty_table_says_so():
    assert table_text(view()) == "Brindle: main+jib, chop\nNo rows for chop.\n"


def test_a_change_without_advice_to_move_says_nothing_of_it():
    still = PairAdvice("jib_sheet_windward", "jib sheet, windward", 12.0, 12.0, 0, "ease", "off the scale")
    assert done_text(SettingDone(cell(4), None, (), still)) == (
        "main+jib chop 4 kn settled vang: 2 marks (empty before; entry 7)\n"
    )


def test_advice_and_its_end_of_scale():
    advice = PairAdvice("jib_sheet_windward", "jib sheet, windward", 11.5, 12.0, 1, "ease", "kept at its top")
    assert advice_text(advice) == "now ease the jib sheet, windward by ½, from 11½ to 12"
    text = done_text(SettingDone(cell(4), cell(4, 1.0), (), advice))
    assert "(kept at its top)" in " ".join(text.split())


def test_nothing_to_move_and_nothing_to_write():
    assert moves_text(()) == "Nothing to move.\n"
    assert (
        imported_text(Imported(5, 0, 5))
        == "5 facts read, all of them stand in the book already: nothing written.\n"
    )
    assert imported_text(Imported(5, 2, 3)) == "5 facts read: 2 written, 3 unchanged.\n"
