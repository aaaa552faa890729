"""``cringle visit`` as a coach runs it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.round import visit as visits


@pytest.fixture
def folder(book_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(visits, "improves", lambda *_, **__: ())
    Book.open(book_folder, create=True).close()
    return book_folder


def called(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as caught:
        run(["visit", *words, "--book", str(folder)])
    out = capsys.readouterr()
    return int(caught.value.code or 0), out.out, out.err


def test_what_is_said_comes_back_on_a_page_of_eighty_columns(
    folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out = tmp_path / "visit.pdf"
    status, page, _ = called(folder, capsys, "--found", "The vang cleat slips", "--out", str(out))
    assert status == 0
    assert "The vang cleat slips" in page
    assert max(map(len, page.splitlines())) <= 80
    assert out.read_bytes().startswith(b"%PDF")
    status, page, _ = called(folder, capsys, "--done", "Marked the vang")
    assert "The vang cleat slips" in page
    assert "Marked the vang" in page


def test_an_empty_book_gets_a_page_that_says_what_to_enter(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, page, _ = called(folder, capsys)
    assert status == 0
    assert "cringle visit --found SENTENCE" in page
    assert "cringle visit --wind KNOTS" in page


def test_a_file_and_options_together(
    folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "visit.toml"
    path.write_text('found = ["from the file"]\n', encoding="utf-8")
    _, text, _ = called(
        folder, capsys, "--file", str(path), "--next", "splice", "--visit", "2026-05-01", "--json"
    )
    data = json.loads(text)
    assert data["visit"] == "2026-05-01"
    assert data["said"] == {"found": ["from the file"], "done": [], "next": ["splice"]}


@pytest.mark.parametrize(
    ("words", "match"),
    [
        (("--visit", "soon", "--found", "x"), "'soon' is no day"),
        (("--visit", "2026-05-01"), "no visit"),
        (("--photo", "gone.jpg=Leech"), "gone.jpg: no such file"),
        (("--file", "gone.toml"), "gone.toml"),
        (("--out", "visit.txt"), "visit.txt"),
    ],
)
def test_bad_input_says_what_to_do(
    folder: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], match: str
) -> None:
    status, _, err = called(folder, capsys, *words)
    assert status == 1
    assert match in err
    assert "Next:" in err
