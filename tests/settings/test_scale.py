from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.boat_file import Control
from cringle.boat.read import read_book_files
from cringle.settings.scale import (
    USEFUL_STEP_MM,
    check_mid_scale,
    check_pair,
    check_step,
    check_stops,
    marks_beyond_stops,
    step_mm,
)


@pytest.fixture
def jib_sheet(examples: Path) -> Control:
    control = read_book_files(examples).boat_file.control("jib_sheet_port")
    assert isinstance(control, Control)
    return control


def changed(control: Control, **values: object) -> Control:
    return control.model_copy(update=values)


def test_a_step_is_a_length_of_line(jib_sheet: Control) -> None:
    assert step_mm(jib_sheet) == 12.5
    assert check_step(jib_sheet).verdict == "good"
    assert "12.5 mm" in check_step(jib_sheet).words


@pytest.mark.parametrize(("length_mm", "verdict"), [(26.0, "good"), (26.1, "look"), (150.0, "look")])
def test_the_limit_of_a_useful_step(jib_sheet: Control, length_mm: float, verdict: str) -> None:
    assert USEFUL_STEP_MM == 13.0
    assert check_step(changed(jib_sheet, mm_per_mark=length_mm)).verdict == verdict


@pytest.mark.parametrize(
    ("used", "verdict", "word"),
    [
        ([4.0, 8.0], "good", "mid-scale"),
        ([], "unknown", "no number"),
        ([1.0, 2.0], "look", "near one end"),
        ([0.0, 6.0], "look", "low end"),
        ([6.0, 12.0], "look", "high end"),
        ([11.5, 11.5], "look", "near one end"),
        ([0.5, 11.5], "good", "mid-scale"),
    ],
)
def test_mid_scale(jib_sheet: Control, used: list[float], verdict: str, word: str) -> None:
    found = check_mid_scale(jib_sheet, used)
    assert (found.verdict, found.what) == (verdict, "mid-scale")
    assert word in found.words


def test_stops_unknown_good_and_passed(jib_sheet: Control) -> None:
    assert check_stops(changed(jib_sheet, stop_low_mm=None)).verdict == "unknown"
    assert check_stops(jib_sheet).verdict == "good"
    short = changed(jib_sheet, stop_high_mm=299.0)
    assert marks_beyond_stops(short) == [12.0]
    assert "12" in check_stops(short).words
    assert marks_beyond_stops(changed(jib_sheet, datum_mm=-21.0)) == [0.0]


@pytest.mark.parametrize(("other", "verdict"), [(4.5, "good"), (4.51, "look"), (3.0, "look")])
def test_sides_agree_to_half_a_mark(jib_sheet: Control, other: float, verdict: str) -> None:
    assert check_pair(jib_sheet, [(4.0, other), (9.0, 9.0)]).verdict == verdict


def test_sides_never_compared_are_unknown(jib_sheet: Control) -> None:
    assert check_pair(jib_sheet, []).verdict == "unknown"
