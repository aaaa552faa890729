from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.numbers import marks
from cringle.workflows.numbers.csv import import_csv

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)


def row(folder: Path, name: str) -> marks.MarkRow:
    return next(one for one in marks.marks_shown(folder) if one.control.id == name)


def sail(folder: Path, *days: str) -> None:
    with Book.open(folder, create=True, who="Ines") as book:
        book.write([NewEntry("outing_start", day, {"at": day}) for day in days], why="outing")


def test_a_mark_earns_its_next_stage(book_folder: Path) -> None:
    sail(book_folder, "2026-05-01")
    marks.set_stage(book_folder, "vang", "taped", who="Keo")
    sail(book_folder, "2026-05-08", "2026-05-15")
    assert row(book_folder, "vang").advice.to is None
    sail(book_folder, "2026-05-22")
    found = row(book_folder, "vang")
    assert (found.stage, found.outings, found.advice.to) == ("taped", 3, "inked")
    marks.set_stage(book_folder, "vang", "inked", who="Keo")
    assert row(book_folder, "vang").outings == 0


def test_a_mark_that_moved_starts_again(book_folder: Path) -> None:
    marks.set_stage(book_folder, "vang", "inked", who="Keo")
    sail(book_folder, *(f"2026-05-0{n}" for n in range(1, 8)))
    assert row(book_folder, "vang").advice.to == "whipped"
    assert marks.record_check(book_folder, "vang", 0.0, who="Keo").to == "whipped"
    assert marks.record_check(book_folder, "vang", -5.0, who="Keo").to == "taped"
    found = row(book_folder, "vang")
    assert (found.moved_mm, found.outings) == (-5.0, 0)
    marks.set_stage(book_folder, "vang", "taped", who="Keo")
    assert row(book_folder, "vang").moved_mm is None


def test_what_cannot_be_recorded(book_folder: Path) -> None:
    with pytest.raises(InputError, match="did you mean 'vang'"):
        marks.set_stage(book_folder, "vagn", "inked", who="Keo")
    with pytest.raises(InputError, match="taped, inked, whipped"):
        marks.set_stage(book_folder, "vang", "glued", who="Keo")
    for wrong in (5000.0, float("nan")):
        with pytest.raises(InputError, match="longer than the scale"):
            marks.record_check(book_folder, "vang", wrong, who="Keo")


def test_checks_use_the_table(book_folder: Path, examples: Path) -> None:
    assert {one.what: one.verdict for one in row(book_folder, "jib_sheet_port").checks} == {
        "step": "good",
        "stops": "good",
        "mid-scale": "unknown",
        "pair": "unknown",
    }
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    checks = {one.what: one for one in row(book_folder, "jib_sheet_port").checks}
    assert checks["mid-scale"].verdict == "good"
    assert {one.what for one in row(book_folder, "vang").checks} == {"step", "stops", "mid-scale"}
    kite = {one.what: one.verdict for one in row(book_folder, "kite_sheet_port").checks}
    assert kite["step"] == "look"


def test_a_windward_line_says_nothing_of_mid_scale(book_folder: Path) -> None:
    with Book.open(book_folder, create=True) as book:
        number = {"value": 12.0, "source": "entered"}
        entries = [
            NewEntry(
                "setting",
                "table",
                number,
                unit="mark",
                sail_set="main+jib",
                wind_kn=8.0,
                gear="build",
                role=role,
            )
            for role in ("jib_sheet_windward", "vang")
        ]
        book.write(entries, why="table")
    found = {one.control.id: one.checks[2].verdict for one in marks.marks_shown(book_folder)}
    assert (found["jib_sheet_port"], found["vang"]) == ("unknown", "look")


def test_strips_of_a_control_have_all_its_lines(book_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "s.pdf"
    assert marks.print_strips(book_folder, ["traveller"], out, at=AT) == 1
    first = out.read_bytes()
    marks.print_strips(book_folder, ["traveller"], out, at=AT)
    assert out.read_bytes() == first
    assert marks.print_strips(book_folder, [], out, paper="letter", at=AT) > 5


def test_strips_that_cannot_be_printed(book_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "s.pdf"
    with pytest.raises(InputError, match="no control"):
        marks.print_strips(book_folder, ["sheet"], out)
    with pytest.raises(InputError, match="a4, letter"):
        marks.print_strips(book_folder, ["vang"], out, paper="a3")
    assert not out.exists()


def test_json(book_folder: Path) -> None:
    marks.set_stage(book_folder, "vang", "taped", who="Keo")
    found = {one["id"]: one for one in marks.marks_json(marks.marks_shown(book_folder))["controls"]}
    assert found["vang"]["stage"] == "taped"
    assert found["vang"]["moved_mm"] is None
    assert found["outhaul"]["stage"] is None
    assert found["outhaul"]["advice"]["to"] == "taped"
