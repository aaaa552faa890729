"""``cringle cues`` as a coach runs it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach")
    return book_folder


def called(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as caught:
        run(["cues", *words, "--book", str(folder)])
    out = capsys.readouterr()
    return int(caught.value.code or 0), out.out, out.err


def test_all_of_them_within_eighty_columns(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = called(folder, capsys)
    assert status == 0
    assert "Row 10 kn, settled, main+jib" in out
    assert "Technique/plane" in out
    assert "Play/tack" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_guess_is_marked_and_own_words_carry_the_name(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "(guess)" in called(folder, capsys, "plane")[1]
    out = called(folder, capsys, "plane", "--sense", "hear", "--words", "a drum", "--who", "Ines")[1]
    assert "  hear: a drum (Ines)" in out
    out = called(folder, capsys, "plane", "--sense", "hear", "--ours")[1]
    assert "a drum" not in out


def test_a_row(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = called(folder, capsys, "12", "--gear", "build", "--sense", "feel", "--words", "low and fast")
    assert "Row 12 kn, build, main+jib" in out
    assert "  feel: low and fast (coach)" in out


def test_json(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(called(folder, capsys, "tack", "--json")[1])
    assert data["schema"] == 1
    assert {one["source"] for one in data["cues"]} == {"guess"}


@pytest.mark.parametrize(
    "words", [("tak",), ("--sense", "see", "--words", "x"), ("tack", "--sense", "see"), ("tack", "--ours")]
)
def test_bad_input_says_what_to_do(
    folder: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    status, _, err = called(folder, capsys, *words)
    assert status == 1
    assert "Next:" in err
