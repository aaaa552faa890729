"""Strips are measured as ink on the rendered page: the bar, the ticks, the joins."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from cringle.boat.boat_file import Control
from cringle.boat.read import read_book_files
from cringle.output.strips import PITCH_OF_STRIPS_MM, STRIP_MM, figure_size, strips_pdf
from cringle.settings.strip_layout import END_MM, GLUE_MM, PAPERS, Paper, lay_sheets, lay_strip

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)
DPI = 600
Ink = Callable[..., NDArray[np.bool_]]
Pages = Callable[[bytes], list[tuple[float, float, str]]]


@pytest.fixture(scope="module")
def controls(examples: Path) -> dict[str, Control]:
    return {one.id: one for one in read_book_files(examples).boat_file.controls}


def pdf_of(control: Control, paper: Paper) -> bytes:
    return strips_pdf(lay_sheets(lay_strip(control, control.lines[0].name, paper), paper), "Brindle", AT)


def px(length_mm: float) -> int:
    return round(length_mm / 25.4 * DPI)


def columns_with_ink(page: NDArray[np.bool_], top_mm: float, bottom_mm: float, share: float) -> list[float]:
    """Return the middles [mm] of the vertical strokes that fill a share of a band of the page."""
    band = page[px(top_mm) : px(bottom_mm)]
    full = band.mean(axis=0) >= share
    edges = np.flatnonzero(np.diff(np.concatenate(([0], full.astype(int), [0]))))
    return [(a + b - 1) / 2 / DPI * 25.4 for a, b in zip(edges[::2], edges[1::2], strict=True)]


@pytest.mark.parametrize("name", ["a4", "letter"])
def test_the_check_bar_is_a_hundred_millimetres_on_every_sheet(
    controls: dict[str, Control], ink: Ink, pages: Pages, name: str
) -> None:
    paper = PAPERS[name]
    made = pdf_of(controls["kite_sheet_port"], paper)
    found = pages(made)
    assert len(found) > 2
    middle = paper.height_mm - paper.margin_mm - 6.0
    for number, (width, height, text) in enumerate(found):
        assert_allclose([width, height], [paper.width_mm, paper.height_mm], atol=0.1)
        assert "Print at 100 %" in text
        ends = columns_with_ink(ink(made, number, DPI), middle - 2.8, middle + 2.8, 0.99)
        assert len(ends) == 2
        assert_allclose(ends[1] - ends[0], 100.0, atol=0.06)


@pytest.mark.parametrize("name", ["jib_halyard", "jib_track_port", "outhaul"])
def test_ticks_are_where_the_book_says(controls: dict[str, Control], ink: Ink, name: str) -> None:
    control, paper = controls[name], PAPERS["a4"]
    page = ink(pdf_of(control, paper), 0, DPI)
    top = paper.margin_mm + 6.0
    both = columns_with_ink(page, top + 0.5, top + 4.0, 0.99)[1:-1]
    count = round((control.high - control.low) * 2) + 1
    assert len(both) == count
    assert_allclose(np.diff(both), control.mm_per_mark / 2, atol=0.09)
    assert_allclose(both[-1] - both[0], (control.high - control.low) * control.mm_per_mark, atol=0.09)
    assert_allclose(both[0], paper.margin_mm + END_MM, atol=0.09)
    whole = columns_with_ink(page, top + 5.2, top + 7.5, 0.99)[1:-1]
    assert len(whole) == control.high - control.low + 1
    assert_allclose(np.diff(whole), control.mm_per_mark, atol=0.09)


def test_a_long_line_is_split_with_the_same_join_on_both_parts(
    controls: dict[str, Control], pages: Pages, ink: Ink
) -> None:
    control, paper = controls["mainsheet"], PAPERS["a4"]
    made = pdf_of(control, paper)
    text = pages(made)[0][2]
    assert "part 1 of 4" in text
    assert text.count("J1") == text.count("J2") == 2
    page = ink(made, 0, DPI)
    parts = lay_strip(control, "mainsheet", paper)
    top = paper.margin_mm + 6.0 + PITCH_OF_STRIPS_MM
    dashed = columns_with_ink(page, top + 9.0, top + 17.0, 0.25)
    expected = [paper.margin_mm + GLUE_MM, paper.margin_mm + (parts[1].join_right_mm or 0.0)]
    for place in expected:
        assert min(abs(one - place) for one in dashed) < 0.3


def test_numbers_are_readable_at_arms_length(controls: dict[str, Control], ink: Ink) -> None:
    for name, control in controls.items():
        size_pt, every = figure_size(lay_strip(control, name, PAPERS["a4"])[0])
        assert size_pt * 0.729 / 72 * 25.4 >= 4.0
        assert every == 1
    page = ink(pdf_of(controls["jib_sheet_port"], PAPERS["a4"]), 0, 300)
    band = page[
        round(28 / 25.4 * 300) : round(39 / 25.4 * 300), round(40 / 25.4 * 300) : round(50 / 25.4 * 300)
    ]
    rows = np.flatnonzero(band.any(axis=1))
    assert (rows[-1] - rows[0]) / 300 * 25.4 >= 7.0


def test_crowded_marks_are_numbered_now_and_then(controls: dict[str, Control]) -> None:
    fine = controls["jib_halyard"].model_copy(update={"mm_per_mark": 4.0})
    size_pt, every = figure_size(lay_strip(fine, "x", PAPERS["a4"])[0])
    assert every == 5
    assert size_pt >= 12.0


def test_the_strip_names_line_datum_and_which_way_is_more(controls: dict[str, Control], pages: Pages) -> None:
    text = " ".join(pages(pdf_of(controls["vang"], PAPERS["a4"]))[0][2].split())
    for part in ("vang", "15 mm a mark", "larger number: harder", "datum: no load, boom level", "2026-06-03"):
        assert part in text


def test_the_same_strips_give_the_same_bytes(controls: dict[str, Control]) -> None:
    assert pdf_of(controls["vang"], PAPERS["a4"]) == pdf_of(controls["vang"], PAPERS["a4"])


def test_a_hostile_name_stays_a_name(controls: dict[str, Control], pages: Pages) -> None:
    odd = controls["vang"].model_copy(update={"datum": '"); #panic("'})
    assert '"); #panic("' in pages(pdf_of(odd, PAPERS["a4"]))[0][2]


def test_strips_do_not_touch() -> None:
    assert PITCH_OF_STRIPS_MM > STRIP_MM + 5.0


@pytest.mark.parametrize("name", ["mainsheet", "backstay", "kite_sheet_starboard"])
def test_every_part_of_a_long_strip_is_true_to_size(
    controls: dict[str, Control], ink: Ink, name: str
) -> None:
    control, paper = controls[name], PAPERS["letter"]
    sheets = lay_sheets(lay_strip(control, control.lines[0].name, paper), paper)
    made = pdf_of(control, paper)
    for number, sheet in enumerate(sheets):
        page = ink(made, number, DPI)
        for row, part in enumerate(sheet.parts):
            top = paper.margin_mm + 6.0 + row * PITCH_OF_STRIPS_MM
            strokes = columns_with_ink(page, top + 5.2, top + 7.5, 0.99)
            for tick in part.ticks:
                if tick.whole:
                    at = paper.margin_mm + tick.at_mm
                    assert min(abs(one - at) for one in strokes) < 0.1


def test_ticks_of_the_overlap_lie_on_each_other_when_glued(controls: dict[str, Control]) -> None:
    parts = lay_strip(controls["mainsheet"], "mainsheet", PAPERS["a4"])
    for before, after in pairwise(parts):
        assert before.join_right_mm is not None
        assert after.join_left_mm is not None
        left = {tick.mark: tick.at_mm - before.join_right_mm for tick in before.ticks}
        right = {tick.mark: tick.at_mm - after.join_left_mm for tick in after.ticks}
        for mark in left.keys() & right.keys():
            assert_allclose(left[mark], right[mark], atol=1e-9)
