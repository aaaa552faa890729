from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cringle.boat.boat_file import BoatFile
from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.roles import role_scales
from cringle.settings.table import Cell, RowNote, Table
from cringle.workflows.start import new_table as book_new_table
from cringle.workflows.start.new_table import ROWS, VALUES, Side, blank, starting, translated


@pytest.fixture
def brindle(examples: Path) -> Side:
    files = read_book_files(examples)
    return Side(files.boat_file, files.class_file)


def changed(side: Side, control: str, **fields: object) -> Side:
    """Return the same boat under another name, with one control or screw changed."""

    def one(item):  # type: ignore[no-untyped-def]
        return item.model_copy(update=fields) if item.id.startswith(control) else item

    boat: BoatFile = side.boat.model_copy(
        update={
            "controls": tuple(one(item) for item in side.boat.controls),
            "screws": tuple(one(item) for item in side.boat.screws),
            "boat": side.boat.boat.model_copy(update={"name": "Dipper"}),
        }
    )
    return Side(boat, side.class_file)


def cell(role: str, value: float, unit: str = "mark", source: Source = Source.TRIAL) -> Cell:
    return Cell(
        "main+jib", "chop", 10.0, "settled", role, Number(value, unit, source, low=value, high=value), 12, 99
    )


def numbers(first: book_new_table.FirstTable) -> dict[str, float]:
    return {one.role: one.number.value for one in first.cells}


def test_the_same_boat_gives_the_same_numbers_as_guesses(brindle: Side) -> None:
    table = Table.of([cell("backstay", 3.5), cell("cap_shrouds", 1.5, "turn"), cell("traveller", -2.0)])
    first = translated(table, brindle, changed(brindle, "none"))
    assert numbers(first) == {"backstay": 3.5, "cap_shrouds": 1.5, "traveller": -2.0}
    assert first.remarks == ()
    for one in first.cells:
        assert one.number.source is Source.GUESS, "nobody has sailed this boat with it"
        assert one.number.by == "Brindle (trial)"
        assert (one.number.low, one.observations, one.entry_id) == (None, None, None)


@pytest.mark.parametrize(
    ("control", "fields", "role", "value", "expected"),
    [
        # 4 marks of 50 mm are 200 mm; at 40 mm a mark that is 5 marks
        ("backstay", {"mm_per_mark": 40.0}, "backstay", 4.0, 5.0),
        # the datum 100 mm further on: 200 mm from the old one are 100 mm from the new one, 2 marks of 50 mm
        ("backstay", {"datum_mm": 100.0}, "backstay", 4.0, 2.0),
        # both: (175 - 20) / 40 = 3.875, to the nearest half mark
        ("backstay", {"datum_mm": 20.0, "mm_per_mark": 40.0}, "backstay", 3.5, 4.0),
        # 1.5 turns of 2.1166 mm are 3.1749 mm; at 1.5875 mm a turn that is 2 turns
        ("cap", {"pitch_upper_mm": 1.5875, "pitch_lower_mm": 0.0}, "cap_shrouds", 1.5, 2.0),
    ],
)
def test_numbers_go_through_millimetres(
    brindle: Side, control: str, fields: dict[str, float], role: str, value: float, expected: float
) -> None:
    unit = "turn" if role == "cap_shrouds" else "mark"
    first = translated(Table.of([cell(role, value, unit)]), brindle, changed(brindle, control, **fields))
    assert numbers(first) == {role: expected}


def test_there_and_back_is_the_same_to_half_a_step(brindle: Side) -> None:
    other = changed(brindle, "backstay", mm_per_mark=37.0, datum_mm=11.0, high=20.0)
    for value in (0.5, 3.0, 7.5, 11.0):
        (there,) = translated(Table.of([cell("backstay", value)]), brindle, other).cells
        (back,) = translated(Table.of([there]), other, brindle).cells
        assert abs(back.number.value - value) <= 0.5


def test_beyond_the_scale_is_kept_at_its_end_with_a_word(brindle: Side) -> None:
    first = translated(
        Table.of([cell("backstay", 11.0)]), brindle, changed(brindle, "backstay", mm_per_mark=20.0)
    )
    assert numbers(first) == {"backstay": 12.0}
    assert "is off the scale, kept at its top, 12" in first.remarks[0]


def test_another_datum_is_said_once(brindle: Side) -> None:
    other = changed(brindle, "backstay", datum="puller at the bottom")
    cells = [cell("backstay", 3.0), replace(cell("backstay", 4.0), wind_kn=12.0)]
    first = translated(Table.of(cells), brindle, other)
    assert len(first.remarks) == 1
    assert "datum differs (there: puller at the top, no load; here: puller at the bottom)" in first.remarks[0]


def test_what_has_no_place_is_left_out_and_said(brindle: Side) -> None:
    cells = [cell("genoa_car", 3.0), replace(cell("backstay", 3.0), sail_set="genoa"), cell("vang", 3.0)]
    first = translated(Table.of(cells), brindle, changed(brindle, "none"))
    assert numbers(first) == {"vang": 3.0}
    assert [one.split(":")[0] for one in first.remarks] == ["left out", "left out"]


def test_a_line_is_no_screw(brindle: Side) -> None:
    other = changed(brindle, "backstay", roles=("cap_shrouds",))
    boat = other.boat.model_copy(update={"screws": ()})
    first = translated(Table.of([cell("cap_shrouds", 1.0, "turn")]), brindle, Side(boat, other.class_file))
    assert first.cells == ()
    assert "is a screw on one boat and a line on the other" in first.remarks[0]


def test_cues_travel_and_a_heel_becomes_a_guess(brindle: Side) -> None:
    heel = Number(12.0, "deg", Source.TRIAL, low=11.0, high=13.0)
    note = RowNote("main+jib", None, 10.0, "settled", "hike", heel, {"see": "leech opens"})
    bare = RowNote("main+jib", None, 12.0, "settled", "hike")
    gone = RowNote("genoa", None, 10.0, "settled", "hike")
    first = translated(Table.of([], [note, bare, gone]), brindle, changed(brindle, "none"))
    assert first.notes[0].cues == {"see": "leech opens"}
    assert first.notes[0].heel == Number(12.0, "deg", Source.GUESS, by="Brindle")
    assert first.notes[1:] == (bare,)


def test_starting_values_fit_every_scale_and_are_all_guesses(brindle: Side) -> None:
    first = starting(brindle)
    scales = role_scales(brindle.boat)
    assert first.remarks == ()
    assert len(first.cells) > 200
    for one in first.cells:
        scale = scales[one.role]
        assert scale.low <= one.number.value <= scale.high, one
        assert one.number.value / scale.step == pytest.approx(round(one.number.value / scale.step))
        assert (one.number.source, one.number.by, one.sea) == (Source.GUESS, "starting values", "chop")
    assert {one.sail_set for one in first.cells} == {"main+jib", "main+kite", "main+jib+kite"}
    assert {one.gear for one in first.cells} == {"settled", "build", "soak", "wing", "plane"}


def test_starting_rows_belong_to_rows_with_numbers(brindle: Side) -> None:
    first = starting(brindle)
    rows = {(one.sail_set, one.wind_kn, one.gear) for one in first.cells}
    for note in first.notes:
        assert (note.sail_set, note.wind_kn, note.gear) in rows
        assert note.heel is not None
        assert note.heel.source is Source.GUESS


def test_a_control_that_counts_the_other_way_is_turned_round(brindle: Side) -> None:
    plain = {
        (one.wind_kn, one.gear): one.number.value for one in starting(brindle).cells if one.role == "vang"
    }
    other = changed(brindle, "vang", more="eased")
    turned = {
        (one.wind_kn, one.gear): one.number.value for one in starting(other).cells if one.role == "vang"
    }
    for key, value in plain.items():
        assert turned[key] == pytest.approx(12.0 - value, abs=0.5), "the same place on a scale from 0 to 12"


def test_a_boat_without_a_line_gets_no_number_for_it(brindle: Side) -> None:
    boat = brindle.boat.model_copy(
        update={"controls": tuple(one for one in brindle.boat.controls if one.id != "cunningham")}
    )
    first = starting(Side(boat, brindle.class_file))
    assert "cunningham" not in {one.role for one in first.cells}
    assert any("cunningham" in remark for remark in first.remarks)


def test_backstay_and_halyards_grow_with_the_wind(brindle: Side) -> None:
    """Common practice, no source: more wind, more tension."""
    cells = starting(brindle).cells
    for role in ("backstay", "jib_halyard", "main_halyard", "cunningham", "outhaul", "vang", "cap_shrouds"):
        values = [one.number.value for one in cells if one.role == role and one.gear == "settled"]
        assert values == sorted(values), role


def test_our_data_files_are_whole() -> None:
    for path in (VALUES, ROWS):
        assert "from memory" in path.read_text(encoding="utf-8").splitlines()[1] + path.read_text(
            encoding="utf-8"
        )


def test_a_broken_data_file_is_named(tmp_path: Path, brindle: Side, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "starting_values.csv"
    path.write_text("sails,gear\nmain+jib\n", encoding="utf-8")
    monkeypatch.setattr(book_new_table, "VALUES", path)
    with pytest.raises(InputError, match="a row has not as many fields as the header"):
        starting(brindle)


def test_blank_says_what_fills_it() -> None:
    assert blank().cells == ()
    assert "cringle settings set" in blank().remarks[0]
