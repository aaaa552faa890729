from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.cli.book_screen import SHOWN_CHANGES, entry_words, show_reverted
from cringle.workflows.books.history import Reverted


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return Book.open(tmp_path / "b", create=True, who="Ines")


@pytest.mark.parametrize(
    ("payload", "unit", "words"),
    [
        ({"value": 3.5, "source": "guess"}, "mark", "setting table vang = 3.5 mark (guess, Ines)"),
        ({"value": None}, None, "setting table vang = (blank)"),
        ({"value": "inked"}, None, "setting table vang = inked"),
    ],
)
def test_an_entry_says_its_provenance(
    book: Book, payload: dict[str, object], unit: str | None, words: str
) -> None:
    (entry,) = book.write([NewEntry("setting", "table", payload, unit=unit, role="vang")], why="x")
    book.close()
    assert entry_words(entry) == words


@pytest.mark.parametrize(("count", "more"), [(2, False), (SHOWN_CHANGES + 5, True)])
def test_a_long_way_back_is_cut_with_a_word(
    capsys: pytest.CaptureFixture[str], count: int, more: bool
) -> None:
    changes = tuple(NewEntry("setting", f"s{number}", {"value": 1.0}, unit="mark") for number in range(count))
    show_reverted(Reverted(3, changes, None), as_json=False)
    out = capsys.readouterr().out
    assert ("and 5 more" in out) is more
    assert f"{count} cells would change" in out


def test_text_with_brackets_is_printed_as_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    show: Callable[..., None] = show_reverted
    show(Reverted(3, (NewEntry("cue", "[red]", {"value": "[bold]"}),), ()), as_json=False)
    assert "cue [red] → [bold]" in capsys.readouterr().out
