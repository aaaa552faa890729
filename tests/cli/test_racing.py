"""After the preparatory signal no command of the terminal gives advice; after the race all do again."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.moments import lock, unlock

ADVICE = [
    ("today", "--wind", "11"),
    ("card", "--wind", "11"),
    ("settings", "moves", "--from", "10", "--to", "14"),
    ("speed", "targets"),
    ("speed", "polar"),
    ("speed", "techniques"),
    ("speed", "crew"),
    ("speed", "depower"),
    ("rig", "turns", "--cap", "1"),
    ("rig", "sheet"),
    ("rig", "backstay"),
    ("trial", "suggest", "--wind", "11"),
    ("trial", "evidence"),
    ("visit",),
    ("plan",),
    ("log", "debrief", "evening"),
    ("log", "pair", "evening", "other"),
]


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach")
    return book_folder


def status(folder: Path, words: tuple[str, ...]) -> int:
    with pytest.raises(SystemExit) as caught:
        run([*words, "--book", str(folder)])
    return int(caught.value.code or 0)


@pytest.mark.parametrize("words", ADVICE, ids=" ".join)
def test_no_advice_while_racing(
    folder: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    words: tuple[str, ...],
) -> None:
    monkeypatch.chdir(tmp_path)
    lock(folder, who="Ines")
    assert status(folder, words) == 1
    out = capsys.readouterr()
    assert out.out == ""
    assert "RRS 41" in out.err
    assert "cringle between --race-over" in out.err
    assert not (tmp_path / "card.pdf").exists()


def test_after_the_race_the_numbers_are_there_again(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lock(folder, who="Ines")
    unlock(folder, who="Ines")
    assert status(folder, ("settings", "moves", "--from", "10", "--to", "14")) == 0
    assert capsys.readouterr().out


def test_the_table_itself_may_be_read_while_racing(folder: Path) -> None:
    lock(folder, who="Ines")
    assert status(folder, ("settings", "show")) == 0
