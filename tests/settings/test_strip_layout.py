from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.boat.boat_file import Control, Line
from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.settings.strip_layout import (
    END_MM,
    GLUE_MM,
    PAPERS,
    StripPart,
    cuts,
    half_marks,
    lay_sheets,
    lay_strip,
    paper_named,
)

A4, LETTER = PAPERS["a4"], PAPERS["letter"]


def made(low: float, high: float, mm_per_mark: float, datum_mm: float = 0.0) -> Control:
    return Control(
        id="line",
        name="Line",
        lines=(Line(id="line", name="line"),),
        roles=("line",),
        worked_by="jib",
        datum="cleat",
        datum_mm=datum_mm,
        mm_per_mark=mm_per_mark,
        step=0.5,
        low=low,
        high=high,
        more="eased",
    )


def test_every_whole_and_half_mark() -> None:
    assert half_marks(-1, 1) == [-1.0, -0.5, 0.0, 0.5, 1.0]
    assert half_marks(0.3, 1.2) == [0.5, 1.0]


def test_a_short_strip_is_one_part_with_its_datum() -> None:
    (part,) = lay_strip(made(0, 10, 10.0), "line", A4)
    assert (part.part, part.parts, part.join_left_mm, part.join_right_mm) == (1, 1, None, None)
    assert part.length_mm == 100.0 + 2 * END_MM
    assert part.datum_mm == END_MM
    assert [tick.label for tick in part.ticks if tick.whole][:3] == ["0", "1", "2"]
    assert len(part.ticks) == 21


def test_a_datum_off_the_strip_is_not_drawn() -> None:
    (part,) = lay_strip(made(0, 10, 10.0, datum_mm=40.0), "line", A4)
    assert part.datum_mm is None


def test_negative_marks_have_the_sign_of_print() -> None:
    (part,) = lay_strip(made(-2, 2, 20.0), "line", A4)
    assert [tick.label for tick in part.ticks if tick.whole] == ["−2", "−1", "0", "1", "2"]


@given(
    st.integers(-10, 0),
    st.integers(1, 20),
    st.floats(4.0, 200.0),
    st.floats(-300.0, 300.0),
    st.sampled_from([A4, LETTER]),
)
def test_parts_join_into_the_whole_strip(
    low: int, high: int, pitch: float, datum_mm: float, paper: object
) -> None:
    control = made(low, high, pitch, datum_mm)
    sheet = paper if paper is A4 else LETTER
    parts = lay_strip(control, "line", sheet)
    assert all(part.length_mm <= sheet.usable_mm + 1e-6 for part in parts)
    seen = {tick.mark: part.start_mm + tick.at_mm for part in parts for tick in part.ticks}
    assert sorted(seen) == half_marks(low, high)
    expected = [(mark - low) * pitch + END_MM for mark in sorted(seen)]
    assert_allclose([seen[mark] for mark in sorted(seen)], expected, atol=1e-6)
    check_joins(parts)


def check_joins(parts: list[StripPart]) -> None:
    for before, after in pairwise(parts):
        assert before.join_right_mm is not None
        assert after.join_left_mm == GLUE_MM
        assert_allclose(
            before.start_mm + before.join_right_mm, after.start_mm + after.join_left_mm, atol=1e-6
        )


def test_a_tick_in_the_overlap_is_on_both_parts_at_the_same_place() -> None:
    parts = lay_strip(made(0, 20, 40.0), "line", A4)
    assert len(parts) > 2
    places: dict[float, list[float]] = {}
    for part in parts:
        for tick in part.ticks:
            places.setdefault(tick.mark, []).append(part.start_mm + tick.at_mm)
    doubled = {mark: at for mark, at in places.items() if len(at) > 1}
    assert doubled
    for at in doubled.values():
        assert_allclose(at, at[0], atol=1e-9)


def test_cuts_prefer_places_between_figures() -> None:
    assert cuts(100.0, 200.0, [50.0]) == [0.0, 100.0]
    assert cuts(300.0, 200.0, [60.0, 150.0, 180.0, 250.0]) == [0.0, 180.0, 300.0]
    assert cuts(300.0, 200.0, []) == [0.0, 190.0, 300.0]


def test_a_line_nobody_would_print_is_refused() -> None:
    with pytest.raises(InputError, match="sheets"):
        lay_strip(made(0, 500, 200.0), "line", A4)


def test_sheets_hold_as_many_strips_as_fit() -> None:
    parts = [part for _ in range(6) for part in lay_strip(made(0, 10, 10.0), "line", A4)]
    sheets = lay_sheets(parts, A4)
    assert [len(sheet.parts) for sheet in sheets] == [4, 2]
    assert [part for sheet in sheets for part in sheet.parts] == parts


def test_paper_by_name() -> None:
    assert paper_named("A4") is A4
    with pytest.raises(InputError, match="a4, letter"):
        paper_named("a5")


def test_every_line_of_the_demo_boat_can_be_laid(examples: Path) -> None:
    for control in read_book_files(examples).boat_file.controls:
        for line in control.lines:
            assert lay_strip(control, line.name, LETTER)[-1].ticks[-1].mark == control.high


def test_a_cut_lies_beside_a_half_mark(examples: Path) -> None:
    control = read_book_files(examples).boat_file.control("jib_sheet_port")
    assert isinstance(control, Control)
    first, second = lay_strip(control, "x", A4)
    assert first.join_right_mm is not None
    cut_mark = control.to_mark(first.join_right_mm - END_MM)
    assert_allclose(cut_mark % 1.0, 0.5 + 2.0 / control.mm_per_mark)
    assert second.ticks[-1].mark == control.high
