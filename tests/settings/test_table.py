from __future__ import annotations

from cringle.findings import Number, Source
from cringle.settings.table import Cell, RowNote, Table


def cell(wind_kn, gear="settled", role="vang", sail_set="main+jib", sea="chop"):
    return Cell(sail_set, sea, wind_kn, gear, role, Number(1.0, "mark", Source.ENTERED))


TABLE = Table.of(
    [cell(12), cell(8), cell(8, "build"), cell(6, role="backstay"), cell(4, "soak", sail_set="main+kite")],
    [
        RowNote("main+jib", None, 8, "settled", posture="hike"),
        RowNote("main+jib", "waves", 8, "settled", posture="legs in"),
    ],
)


def test_a_column_is_sorted_by_wind():
    assert [one.wind_kn for one in TABLE.column("main+jib", "chop", "settled", "vang")] == [8, 12]
    assert TABLE.column("main+jib", "flat", "settled", "vang") == ()


def test_what_a_sail_set_has():
    assert TABLE.sail_sets() == ("main+jib", "main+kite")
    assert TABLE.gears("main+jib") == ("settled", "build")
    assert TABLE.roles("main+jib") == ("vang", "backstay")
    assert TABLE.winds("main+jib") == (6, 8, 12)
    assert TABLE.winds("main+jib", "build") == (8,)
    assert TABLE.winds("main") == ()


def test_a_note_for_this_sea_comes_before_one_for_any_sea():
    assert TABLE.note("main+jib", "waves", 8, "settled").posture == "legs in"
    assert TABLE.note("main+jib", "chop", 8, "settled").posture == "hike"
    assert TABLE.note("main+jib", "chop", 9, "settled") is None
    assert TABLE.posture(cell(8)) == "hike"
    assert TABLE.posture(cell(12)) is None


def test_a_cell_says_which_it_is():
    assert str(cell(8)) == "main+jib chop 8 kn settled vang"
    assert cell(8).key == ("main+jib", "chop", 8, "settled", "vang")
