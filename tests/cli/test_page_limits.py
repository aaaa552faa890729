"""The pages that people touch: order, lines, columns, and no decimal finer than a mark."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.outing import Door, start_outing

DECIMAL = re.compile(r"(?<![C#\d])\d+\.\d+(?!\.\d)")
HEADINGS = {
    "tonight": ("RIG NOW", "MARIT", "Heel", "Places", "If ", "Goal", "Ready", "Print"),
    "plan": ("Season plan", "DRILLS", "WHO CAN DO WHAT", "GOALS", "SAILS", "WHAT THE EVIDENCE NEEDS"),
    "visit": ("Visit report", "FOUND", "DONE TODAY", "NEXT, BY WORTH", "COST", "MARKS", "NOT ENTERED"),
}
ASKED = {
    "tonight": ("tonight", "--wind", "11", "--low", "9", "--high", "13", "--gust", "15"),
    "plan": ("plan",),
    "visit": ("visit", "--found", "The vang cleat slips"),
}
MOST_LINES = {"tonight": 40, "plan": 60, "visit": 140}


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    """Return a book with a table, on an outing with a goal."""
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first")
    start_outing(Door(book_folder))
    set_goal(Door(book_folder), "heel within two degrees of the target upwind")
    return book_folder


def page(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    with pytest.raises(SystemExit) as caught:
        run([*words, "--book", str(folder)])
    out = capsys.readouterr()
    assert not caught.value.code, out.err
    return out.out


@pytest.mark.parametrize("name", list(HEADINGS))
def test_order_lines_and_columns(folder: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    text = page(folder, capsys, *ASKED[name])
    lines = text.splitlines()
    assert len(lines) <= MOST_LINES[name]
    assert max(map(len, lines)) <= 80
    starts = [next(at for at, line in enumerate(lines) if line.startswith(one)) for one in HEADINGS[name]]
    assert starts == sorted(starts)


@pytest.mark.parametrize("name", ["tonight", "plan"])
def test_no_decimal_finer_than_a_mark(folder: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert DECIMAL.findall(page(folder, capsys, *ASKED[name])) == []


@pytest.mark.parametrize("wind", ["6", "14", "20"])
def test_between_races_six_moves_at_most_screws_first(
    folder: Path, capsys: pytest.CaptureFixture[str], wind: str
) -> None:
    text = page(folder, capsys, "between", "--wind", wind)
    moves = [line for line in text.splitlines() if re.match(r"[A-Z][a-z]+ +[a-z ,]+: ", line)]
    assert 1 <= len(moves) <= 6
    shrouds = ["shrouds" in line or "forestay" in line for line in moves]
    assert shrouds == sorted(shrouds, reverse=True)
    assert max(map(len, text.splitlines())) <= 80
    assert DECIMAL.findall(text) == []
