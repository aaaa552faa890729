from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv

Called = Callable[..., tuple[int, str, str]]


@pytest.fixture
def cringle(book_folder: Path, examples: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Called:
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")

    def called(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run(["card", "--book", str(book_folder), "--out", str(tmp_path / "card.pdf"), *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), " ".join(out.out.split()), out.err

    return called


def test_a_card_is_written(cringle: Called, tmp_path: Path) -> None:
    status, out, _ = cringle("--wind", "11", "--gust", "14", "--sea", "flat")
    assert status == 0
    assert "(everybody)" in out
    assert "Print at 100 %" in out
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")


def test_each_as_json(cringle: Called) -> None:
    found = json.loads(cringle("--low", "9", "--high", "13", "--each", "--json")[1])
    assert found["cards"][0] == "everybody"
    assert len(found["cards"]) == 5


def test_one_person(cringle: Called) -> None:
    assert "(Keo)" in cringle("--wind", "11", "--person", "Keo")[1]
    status, _, err = cringle("--wind", "11", "--person", "Nobody")
    assert status == 1
    assert "Keo" in err


def test_a_pinned_date_gives_the_same_bytes(cringle: Called, tmp_path: Path) -> None:
    found = []
    for _ in range(2):
        cringle("--wind", "11", "--date", "2026-06-03T17:30")
        found.append((tmp_path / "card.pdf").read_bytes())
    assert found[0] == found[1]


@pytest.mark.parametrize(
    ("arguments", "status", "word"),
    [
        ((), 1, "no wind given"),
        (("--wind", "-3"), 1, "accepted 0"),
        (("--wind", "11", "--sail-set", "main+kit"), 1, "main+kite"),
        (("--wind", "11", "--aboard", "Zed"), 1, "Zed"),
        (("--wind", "11", "--date", "tomorrow"), 2, "no date"),
        (("--wind", "much"), 2, "--wind"),
    ],
)
def test_bad_input_writes_no_card(
    cringle: Called, tmp_path: Path, arguments: tuple[str, ...], status: int, word: str
) -> None:
    found, _, err = cringle(*arguments)
    assert found == status
    assert word in err
    assert not (tmp_path / "card.pdf").exists()
