from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.boat.boat_file import Control
from cringle.boat.read import read_book_files
from cringle.book.store import Book
from cringle.errors import BookFileError, InputError
from cringle.workflows.numbers.marking_day import (
    MarkingAnswers,
    line_answers,
    mark_up,
    marking_json,
    read_answers,
    work_out,
)
from cringle.workflows.numbers.marks import marks_shown

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)
DAY = """
[[lines]]
control = "jib_sheet_port"
stop_low_mm = -20.0
stop_high_mm = 340.0
sail_low_mm = 100
sail_high_mm = 220
datum = "cleat, mark on the deck"
[[lines]]
control = "jib_sheet_starboard"
stop_low_mm = -30.0
stop_high_mm = 350.0
match = [{ mark = 2, reading_mm = 64 }, { mark = 9, reading_mm = 241 }]
"""


@pytest.fixture
def answers(tmp_path: Path) -> MarkingAnswers:
    path = tmp_path / "day.toml"
    path.write_text(DAY, encoding="utf-8")
    return read_answers(path)


def control(folder: Path, name: str) -> Control:
    found = read_book_files(folder).boat_file.control(name)
    assert isinstance(found, Control)
    return found


def test_a_day_writes_scales_history_and_strips(
    book_folder: Path, answers: MarkingAnswers, tmp_path: Path
) -> None:
    before = (book_folder / "boat.toml").read_text(encoding="utf-8").splitlines()
    done = mark_up(book_folder, answers, who="Marit", strips=tmp_path / "s.pdf", at=AT)
    after = (book_folder / "boat.toml").read_text(encoding="utf-8").splitlines()
    port, starboard = (control(book_folder, f"jib_sheet_{side}") for side in ("port", "starboard"))
    assert (port.datum_mm, port.low, port.high, port.datum) == (10.0, 0.0, 12.0, "cleat, mark on the deck")
    assert (starboard.datum_mm, starboard.stop_high_mm) == (15.0, 350.0)
    lost = [line for line in before if line not in after]
    assert all(line.startswith(("datum", "stop_")) for line in lost)
    assert [line for line in before if line.startswith("#")] == [
        line for line in after if line.startswith("#")
    ]
    assert done.sheets == 1
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
    with Book.open(book_folder) as book:
        assert {one.key.subject for one in book.current("scale")} == {"jib_sheet_port", "jib_sheet_starboard"}
        assert {one.value for one in book.current("mark_stage")} == {"taped"}
        (edit,) = book.history("toml_edit")
    assert edit.payload["controls"] == ["jib_sheet_port", "jib_sheet_starboard"]


def test_afterwards_the_pair_agrees_to_half_a_mark(book_folder: Path, answers: MarkingAnswers) -> None:
    mark_up(book_folder, answers, who="Marit")
    for row in marks_shown(book_folder):
        if row.control.id.startswith("jib_sheet"):
            assert {one.what: one.verdict for one in row.checks}["pair"] == "good"


def test_a_second_day_is_a_new_entry(book_folder: Path, answers: MarkingAnswers) -> None:
    mark_up(book_folder, answers, who="Marit")
    mark_up(book_folder, answers, who="Marit")
    with Book.open(book_folder) as book:
        assert len(book.history("scale", subject="jib_sheet_port")) == 2


def changed(text: str, tmp_path: Path) -> MarkingAnswers:
    path = tmp_path / "changed.toml"
    path.write_text(text, encoding="utf-8")
    return read_answers(path)


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ("stop_high_mm = 340.0", "stop_high_mm = 210.0", "sailing range"),
        ("sail_high_mm = 220", "sail_high_mm = 340", "beyond the high stop|differ|mark 2"),
        ("stop_high_mm = 350.0", "stop_high_mm = 300.0", "mark 12"),
        ("reading_mm = 241", "reading_mm = 290", "leads differ"),
        ('"jib_sheet_starboard"', '"jib_sheet_port"', "twice"),
        ('"jib_sheet_starboard"', '"vang"', "no other side"),
        ('"jib_sheet_port"', '"jib_sheet_prot"', "did you mean"),
    ],
)
def test_a_day_with_a_mistake_writes_nothing(
    book_folder: Path, tmp_path: Path, old: str, new: str, word: str
) -> None:
    before = (book_folder / "boat.toml").read_bytes()
    with pytest.raises(InputError, match=word):
        mark_up(book_folder, changed(DAY.replace(old, new, 1), tmp_path), who="Marit")
    assert (book_folder / "boat.toml").read_bytes() == before
    with Book.open(book_folder, create=True) as book:
        assert book.history() == []


def test_one_side_alone_may_not_leave_the_pair_unlike(book_folder: Path, tmp_path: Path) -> None:
    one_side = DAY[: DAY.rindex("[[lines]]")]
    assert mark_up(book_folder, changed(one_side, tmp_path), who="Marit").scales[0].datum_mm == 10.0
    shorter = one_side.replace("stop_low_mm = -20.0", "stop_low_mm = 60.0")
    with pytest.raises(InputError, match="different scales"):
        mark_up(book_folder, changed(shorter, tmp_path), who="Marit")


def test_the_second_side_is_matched_to_the_scale_in_force(book_folder: Path, tmp_path: Path) -> None:
    second = DAY[DAY.rindex("[[lines]]") :]
    done = mark_up(book_folder, changed(second, tmp_path), who="Marit")
    assert done.scales[0].datum_mm == 15.0


def test_a_book_that_refuses_puts_the_file_back(
    book_folder: Path, answers: MarkingAnswers, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (book_folder / "boat.toml").read_bytes()

    def refuse(*_: object, **__: object) -> None:
        raise InputError("refused")

    monkeypatch.setattr(Book, "write", refuse)
    with pytest.raises(InputError, match="refused"):
        mark_up(book_folder, answers, who="Marit")
    assert (book_folder / "boat.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "lines"),
        ("[[lines]]\ncontrol = 'vang'\n", "stop_low_mm: missing field"),
        (DAY.replace("sail_low_mm = 100\n", ""), "sail_low_mm and sail_high_mm, or match"),
        (DAY.replace("sail_low_mm", "sail_lo_mm"), "did you mean 'sail_low_mm'"),
        (DAY.replace("= 340.0", '= "340 mm"'), "bare number"),
    ],
)
def test_mistakes_in_the_answers_have_a_place(tmp_path: Path, text: str, word: str) -> None:
    with pytest.raises(BookFileError, match=word):
        changed(text, tmp_path)


def test_answers_given_one_by_one() -> None:
    found = line_answers(
        control="vang", stop_low_mm=0, stop_high_mm=200, sail_low_mm=50, sail_high_mm=100, step=None
    )
    assert found.step is None
    for wrong in ({"stop_high_mm": float("nan")}, {"sail_low_mm": None}, {"mm_per_mark": -1.0}):
        given = {
            "control": "vang",
            "stop_low_mm": 0,
            "stop_high_mm": 200,
            "sail_low_mm": 50,
            "sail_high_mm": 100,
        }
        with pytest.raises(InputError, match="answers: "):
            line_answers(**{**given, **wrong})


def test_in_the_middle_of_a_walk_the_other_side_may_still_come(book_folder: Path, tmp_path: Path) -> None:
    files = read_book_files(book_folder)
    shorter = DAY[: DAY.rindex("[[lines]]")].replace("stop_low_mm = -20.0", "stop_low_mm = 60.0")
    assert work_out(files, changed(shorter, tmp_path), whole_day=False)[0].high == 8.0


def test_json(book_folder: Path, answers: MarkingAnswers) -> None:
    found = marking_json(mark_up(book_folder, answers, who="Marit"))
    assert found["strips"] is None
    assert found["scales"][1]["datum_mm"] == 15.0
    assert found["scales"][0]["shift_marks"] == pytest.approx(-0.4)
