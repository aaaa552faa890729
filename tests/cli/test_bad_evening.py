"""An evening that goes wrong, by the real commands: what is assumed is said, and nothing is invented."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book.entries import NewEntry
from cringle.book.rows import time_text
from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.notes import note_settings
from cringle.workflows.outings.outing import Door, end_outing, start_outing


@pytest.fixture
def bare(book_folder: Path) -> Path:
    """Return a book without any numbers."""
    Book.open(book_folder, create=True).close()
    return book_folder


@pytest.fixture
def folder(bare: Path, examples: Path) -> Path:
    """Return a book with the first table."""
    import_csv(bare, examples / "table.csv", examples / "cues.csv", who="coach")
    return bare


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> object:
    """Return a function: command line to exit status, and what was printed with white space made even."""

    def made(folder: Path, *words: str) -> tuple[int, str]:
        capsys.readouterr()
        with pytest.raises(SystemExit) as caught:
            run([*words, "--book", str(folder)])
        out = capsys.readouterr()
        return int(caught.value.code or 0), " ".join(f"{out.out} {out.err}".split())

    return made


def test_an_outing_that_was_never_ended(folder: Path, said) -> None:  # type: ignore[no-untyped-def]  # a fixture
    begun = start_outing(Door(folder))
    status, words = said(folder, "home", "--no-guess")
    assert status == 0
    assert f"Outing {begun.id} was never ended: it is taken to go on until now" in words
    assert "nothing was measured" in words


def test_two_open_at_once(folder: Path, said) -> None:  # type: ignore[no-untyped-def]  # a fixture
    first = start_outing(Door(folder))
    status, words = said(folder, "outing", "start")
    assert status == 1
    assert f"outing {first.id} still goes on" in words
    with Book.open(folder) as book:
        at = time_text(book.now())
        book.write([NewEntry("outing_start", "2099-01-01", {"at": at, "place": ""})], why="another copy")
    status, words = said(folder, "between", "--wind", "12")
    assert status == 0
    assert "2 outings were never ended: 2099-01-01, the newest, is taken" in words
    assert f"cringle outing end --outing {first.id}" in words


def test_a_log_of_another_day(folder: Path, examples: Path, said) -> None:  # type: ignore[no-untyped-def]  # a fixture
    start_outing(Door(folder))
    end_outing(Door(folder))
    status, words = said(folder, "log", "read", str(examples / "evening.nmea"))
    assert status == 0
    status, words = said(folder, "home", "--no-guess")
    assert status == 0
    assert "There is no log of" in words
    assert "heel" not in words.split("There is no log of")[0]


def test_no_settings_entered(bare: Path, said) -> None:  # type: ignore[no-untyped-def]  # a fixture
    status, words = said(bare, "tonight", "--wind", "11")
    assert status == 0
    assert "none in the table for these sails yet" in words
    start_outing(Door(bare))
    status, words = said(bare, "home", "--confirm")
    assert status == 1
    assert "no settings were noted" in words


def test_no_goal(folder: Path, said) -> None:  # type: ignore[no-untyped-def]  # a fixture
    start_outing(Door(folder))
    for words in (("tonight", "--wind", "11"), ("home", "--no-guess"), ("plan",)):
        status, page = said(folder, *words)
        assert status == 0
        assert "None" not in page.replace("None were noted", "")


@pytest.mark.parametrize("command", ["tonight", "between", "today", "card"])
def test_an_unknown_person(folder: Path, said, command: str, tmp_path: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]  # fixtures
    monkeypatch.chdir(tmp_path)
    status, words = said(folder, command, "--wind", "11", "--aboard", "Ines,Nobody")
    assert status == 1
    assert "Nobody" in words
    assert "Tobias" in words, "who is known is listed"
    assert list(tmp_path.glob("*.pdf")) == []


def test_the_clock_before_the_start_of_the_outing(folder: Path, said) -> None:  # type: ignore[no-untyped-def]  # a fixture
    later = datetime.now(UTC) + timedelta(hours=3)
    begun = start_outing(Door(folder, at=later.isoformat()))
    note_settings(Door(folder, at=later.isoformat()), {"vang": 3.0})
    status, words = said(folder, "between", "--wind", "12")
    assert status == 0
    assert f"the clock is before the start of outing {begun.id}" in words
    status, words = said(folder, "outing", "end", "--at", (later - timedelta(hours=1)).isoformat())
    assert status == 1
    assert "would end before it began" in words
