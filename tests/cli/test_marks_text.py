from __future__ import annotations

from pathlib import Path

from cringle.cli.marks_text import gauge_lines, marking_lines, marks_lines
from cringle.settings.gauge import GaugeStudy, Reading, compare_hardware, gauge_study
from cringle.settings.markup import Scale
from cringle.workflows.numbers.gauge import GaugeDone
from cringle.workflows.numbers.marking_day import MarkingDone
from cringle.workflows.numbers.marks import marks_shown

SCALE = Scale("vang", 5.0, 15.0, 0.5, 0.0, 12.0, -5.0, 200.0, None, ("sailing range found",))


def study(spread_mm: float, people: str = "AB", low: float = 0.0) -> GaugeStudy:
    readings = [
        Reading(who, mark, low + mark * 25.0 + error)
        for who in people
        for mark in (2.0, 4.0, 6.0, 8.0, 10.0)
        for error in (-spread_mm, spread_mm)
    ]
    return gauge_study(readings, 12.5, mm_per_mark=25.0)


def test_a_scale_that_needs_a_look_comes_with_a_word(book_folder: Path) -> None:
    lines = list(marks_lines(marks_shown(book_folder)))
    look = [line for line in lines if "LOOK" in line]
    assert look
    assert lines[-1].startswith(f"{len(look)} to look at.")
    assert all("," in line for line in look)


def test_a_marking_day_names_the_next_step_or_the_strips() -> None:
    without = list(marking_lines(MarkingDone((SCALE,), None, 0)))
    assert without == [
        "vang: marks 0 to 12, 15 mm each, mark 0 at 5 mm from the datum; taped",
        "    sailing range found",
        "Next: cringle settings strips vang",
    ]
    assert list(marking_lines(MarkingDone((SCALE,), Path("s.pdf"), 2)))[-1].startswith(
        "written: s.pdf, 2 sheets."
    )


def test_a_gauge_study_in_words() -> None:
    text = "\n".join(gauge_lines(GaugeDone("vang", study(1.0, low=3.0), None)))
    assert "repeatability 1.20 mm" in text  # 20 mm2 over 10 + 4 pooled degrees of freedom
    assert "reproducibility 0.00 mm between A, B" in text
    assert "mean distance from the scale's own places: +3.0 mm" in text
    exact = "\n".join(gauge_lines(GaugeDone("vang", study(0.0, "A"), None)))
    assert "more than can be counted" in exact
    assert "one person cannot show" in exact


def test_a_change_of_hardware_in_words() -> None:
    change = compare_hardware(study(4.0), study(0.5))
    lines = list(gauge_lines(GaugeDone("vang", change.after, change)))
    assert lines[1] == "Before the change"
    assert lines[-1].startswith("Better:")
    assert lines[-1].endswith("p < 0.001.")
