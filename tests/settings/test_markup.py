from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.boat.boat_file import Control, Line
from cringle.boat.read import read_book_files
from cringle.errors import InputError, OutOfRangeError
from cringle.settings.markup import (
    AGREE_MARKS,
    LineFound,
    Match,
    differences,
    scale_for_line,
    scale_for_pair,
)

FOUND = LineFound(
    stop_low_mm=-20.0, stop_high_mm=340.0, sail_low_mm=100.0, sail_high_mm=220.0, mm_per_mark=25.0, step=0.5
)


def made(low: float = 0.0, high: float = 12.0) -> Control:
    return Control(
        id="line",
        name="Line",
        lines=(Line(id="line", name="line"),),
        roles=("line",),
        worked_by="jib",
        datum="cleat",
        mm_per_mark=25.0,
        step=0.5,
        low=low,
        high=high,
        more="eased",
    )


def test_the_sailing_range_lies_mid_scale() -> None:
    scale = scale_for_line(made(), FOUND)
    assert (scale.low, scale.high) == (0.0, 12.0)
    assert scale.to_mm(6.0) == 160.0
    assert scale.to_mm(0.0) == 10.0
    assert scale.shift_marks == pytest.approx(-0.4)
    assert any("−0.4" in words for words in scale.words)


def test_a_scale_about_its_middle() -> None:
    scale = scale_for_line(made(-6, 6), replace(FOUND, from_zero=False))
    assert (scale.low, scale.high, scale.datum_mm) == (-6.0, 6.0, 160.0)


def test_marks_are_dropped_when_a_stop_is_in_the_way() -> None:
    scale = scale_for_line(made(), replace(FOUND, stop_low_mm=80.0))
    assert (scale.low, scale.high) == (0.0, 6.0)
    assert any("6 marks instead of 12" in words for words in scale.words)


def test_marks_are_added_when_the_range_needs_them() -> None:
    wide = replace(FOUND, stop_low_mm=-400.0, stop_high_mm=700.0, sail_low_mm=-40.0, sail_high_mm=360.0)
    assert scale_for_line(made(), wide).high == 16.0


def test_a_range_against_the_stop_is_refused() -> None:
    with pytest.raises(InputError, match="beyond the high stop"):
        scale_for_line(made(), replace(FOUND, sail_low_mm=300.0, sail_high_mm=338.0))
    with pytest.raises(InputError, match="beyond the low stop"):
        scale_for_line(made(), replace(FOUND, sail_low_mm=-20.0, sail_high_mm=10.0))


def test_a_range_beyond_the_stop_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="sailing range"):
        scale_for_line(made(), replace(FOUND, sail_high_mm=341.0))


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"stop_low_mm": 400.0}, "not below"),
        ({"sail_low_mm": 220.0}, "empty"),
        ({"mm_per_mark": 0.0}, "more than 0"),
        ({"mm_per_mark": 0.25}, "too fine"),
    ],
)
def test_ends_the_wrong_way_round(change: dict[str, float], word: str) -> None:
    with pytest.raises(InputError, match=word):
        scale_for_line(made(), replace(FOUND, **change))


def test_a_new_length_of_mark_says_that_numbers_mean_another_place() -> None:
    scale = scale_for_line(made(), replace(FOUND, mm_per_mark=20.0))
    assert scale.shift_marks is None
    assert any("another place" in words for words in scale.words)


@given(
    st.floats(-500, 0),
    st.floats(50, 3000),
    st.floats(0, 1),
    st.floats(0, 1),
    st.floats(5, 150),
    st.integers(2, 20),
)
def test_no_mark_ever_lies_beyond_a_stop(
    low: float, length: float, start: float, end: float, pitch: float, count: int
) -> None:
    assume(end - start > 0.01)
    sail = (low + start * length, low + end * length)
    found = LineFound(low, low + length, *sail, mm_per_mark=pitch, step=0.5)
    try:
        scale = scale_for_line(made(0, count), found)
    except InputError:
        return
    assert low - 1e-6 <= scale.to_mm(scale.low) < scale.to_mm(scale.high) <= low + length + 1e-6
    middle = scale.to_mm((scale.low + scale.high) / 2)
    assert_allclose(middle, sum(sail) / 2, atol=0.51)
    assert scale.to_mm(scale.low) <= sail[0] + 0.51
    assert scale.to_mm(scale.high) >= sail[1] - 0.51


def test_the_second_side_is_matched() -> None:
    first = scale_for_line(made(), FOUND)
    second = scale_for_pair(made(), first, (-20.0, 400.0), [Match(2.0, 74.0), Match(9.0, 251.0)])
    assert second.datum_mm == 25.0
    assert (second.low, second.high, second.mm_per_mark) == (first.low, first.high, first.mm_per_mark)
    for mark, reading in differences(second, [Match(2.0, 74.0), Match(9.0, 251.0)]):
        assert abs(mark - reading) <= AGREE_MARKS


def test_sides_that_cannot_agree_are_refused() -> None:
    first = scale_for_line(made(), FOUND)
    with pytest.raises(InputError, match="leads differ"):
        scale_for_pair(made(), first, (-20.0, 400.0), [Match(2.0, 60.0), Match(9.0, 265.0)])


def test_one_comparison_is_not_enough() -> None:
    first = scale_for_line(made(), FOUND)
    with pytest.raises(InputError, match="two different marks"):
        scale_for_pair(made(), first, (-20.0, 400.0), [Match(2.0, 60.0), Match(2.0, 61.0)])


def test_a_matched_mark_beyond_this_sides_stop_is_refused() -> None:
    first = scale_for_line(made(), FOUND)
    with pytest.raises(OutOfRangeError, match="mark 12"):
        scale_for_pair(made(), first, (-20.0, 320.0), [Match(2.0, 75.0), Match(9.0, 250.0)])


def test_the_demo_boats_own_scales_come_out_again(examples: Path) -> None:
    for control in read_book_files(examples).boat_file.controls:
        assert control.stop_low_mm is not None
        assert control.stop_high_mm is not None
        middle = control.to_mm((control.low + control.high) / 2)
        found = LineFound(
            stop_low_mm=control.stop_low_mm,
            stop_high_mm=control.stop_high_mm,
            sail_low_mm=middle - control.mm_per_mark,
            sail_high_mm=middle + control.mm_per_mark,
            mm_per_mark=control.mm_per_mark,
            step=control.step,
            from_zero=control.low >= 0,
        )
        scale = scale_for_line(control, found)
        assert (scale.low, scale.high, scale.datum_mm) == (control.low, control.high, control.datum_mm)
