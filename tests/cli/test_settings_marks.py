from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run

Called = Callable[..., tuple[int, str, str]]
SINGLE = ("vang", "--stop-low", "-5", "--stop-high", "200", "--sail-low", "50", "--sail-high", "130")


@pytest.fixture
def cringle(book_folder: Path, capsys: pytest.CaptureFixture[str]) -> Called:
    def called(command: str, *arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(["settings", command, "--book", str(book_folder), *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), " ".join(out.out.split()), out.err

    return called


def test_marks_show_stage_advice_and_checks(cringle: Called) -> None:
    status, out, _ = cringle("marks", "--stage", "vang=inked", "--moved", "vang=0")
    assert status == 0
    assert "Vang [vang] inked marks: 0 of 6 outings; leave it inked" in out
    assert "step: LOOK, one step is 75 mm of line" in out
    assert "13 mm of line" in out
    found = json.loads(cringle("marks", "--json")[1])
    assert {one["id"]: one["stage"] for one in found["controls"]}["vang"] == "inked"


@pytest.mark.parametrize(
    ("option", "value", "word"),
    [
        ("--stage", "vang", "CONTROL=VALUE"),
        ("--stage", "vang=glued", "taped, inked, whipped"),
        ("--stage", "vagn=inked", "did you mean"),
        ("--moved", "vang=far", "not a number"),
        ("--moved", "vang=", "CONTROL=VALUE"),
    ],
)
def test_marks_that_cannot_be_recorded(cringle: Called, option: str, value: str, word: str) -> None:
    status, _, err = cringle("marks", option, value)
    assert status == 1
    assert word in err


def test_one_line_by_options(cringle: Called, book_folder: Path) -> None:
    status, out, _ = cringle("mark-up", *SINGLE, "--why", "new line")
    assert status == 0
    assert "vang: marks 0 to 12, 15 mm each, mark 0 at 0 mm from the datum; taped" in out
    assert "Next: cringle settings strips vang" in out
    with Book.open(book_folder) as book:
        assert book.history("scale")[0].why == "new line"


def test_a_mark_beyond_a_stop_is_refused(cringle: Called, book_folder: Path) -> None:
    before = (book_folder / "boat.toml").read_bytes()
    arguments = list(SINGLE)
    arguments[arguments.index("130")] = "199"
    arguments[arguments.index("50")] = "180"
    status, _, err = cringle("mark-up", *arguments)
    assert status == 1
    assert "beyond the high stop" in err
    assert cringle("mark-up", "vang", "outhaul", "--stop-low", "0")[0] == 1
    assert cringle("mark-up", "vang", "--stop-low", "0")[0] == 1
    assert (book_folder / "boat.toml").read_bytes() == before


def test_the_second_side_by_options(cringle: Called, book_folder: Path) -> None:
    stops = ("--stop-low", "-30", "--stop-high", "350")
    status, out, _ = cringle(
        "mark-up", "jib_sheet_starboard", *stops, "--match", "2=64", "--match", "9=241", "--json"
    )
    assert status == 0
    assert json.loads(out)["scales"][0]["datum_mm"] == 15.0


def test_a_walk_needs_a_line(cringle: Called) -> None:
    status, _, err = cringle("mark-up")
    assert status == 1
    assert "no line named" in err


def test_strips(cringle: Called, tmp_path: Path) -> None:
    out = tmp_path / "s.pdf"
    status, words, _ = cringle("strips", "vang", "--out", str(out))
    assert status == 0
    assert "1 sheets. Print at 100 %, then measure the bar: 100 mm." in words
    found = json.loads(cringle("strips", "vang", "--paper", "letter", "--out", str(out), "--json")[1])
    assert found["check_bar_mm"] == 100
    assert cringle("strips", "vang", "--paper", "a5", "--out", str(out))[0] == 1


def readings(path: Path, phases: tuple[str, ...] = ("before",), people: str = "AB") -> Path:
    spread = {"before": (-6.0, 6.0), "after": (-0.5, 0.5)}
    rows = [
        f"{who},{mark},{mark * 25 + error},{phase}"
        for phase in phases
        for who in people
        for mark in (2, 4, 6, 8, 10)
        for error in spread[phase]
    ]
    path.write_text("person,mark,reading_mm,phase\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def test_a_gauge_study(cringle: Called, tmp_path: Path) -> None:
    path = readings(tmp_path / "r.csv", ("before", "after"))
    status, out, _ = cringle("gauge", "jib_sheet_port", str(path))
    assert status == 0
    for part in (
        "Before the change",
        "After the change",
        "Better: the spread is",
        "distinct categories",
        "between A, B",
    ):
        assert part in out
    found = json.loads(cringle("gauge", "jib_sheet_port", str(path), "--json")[1])
    assert found["study"]["verdict"] == "good"


def test_one_persons_study_says_what_it_cannot_know(cringle: Called, tmp_path: Path) -> None:
    path = readings(tmp_path / "r.csv", people="A")
    assert "one person cannot show" in cringle("gauge", "jib_sheet_port", str(path))[1]


def test_a_gauge_file_with_a_mistake(cringle: Called, tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    path.write_text("person,mark,reading_mm\nA,1,x\n", encoding="utf-8")
    status, _, err = cringle("gauge", "jib_sheet_port", str(path))
    assert status == 1
    assert "r.csv:2: reading_mm: not a number" in err
