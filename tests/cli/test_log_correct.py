"""``cringle log correct`` from the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console

from cringle.cli.log_correct import show_corrections
from cringle.cli.main import run
from cringle.workflows.afloat.corrections import LogCorrections
from cringle.workflows.afloat.logs import read_into_book


@pytest.fixture
def book(book_folder: Path, examples: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    read_into_book([examples / "evening.nmea"], book=book_folder, who="coach")
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    return book_folder


def ran(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        run(["log", *words])
    return int(ended.value.code or 0)


def told(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    values: dict[str, Any] = json.loads(capsys.readouterr().out)
    return values


def test_said_followed_listed_and_undone(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran("debrief", "evening", "--json") == 0
    before = told(capsys)
    said = ("--start", "18:35:00", "--drop-manoeuvre", "2", "--leg-end", "1=18:41:00", "--why", "seen")
    assert ran("correct", "evening", *said, "--who", "Ines", "--json") == 0
    kept = told(capsys)
    assert kept["schema"] == 1
    assert [(one["number"], one["what"], one["who"], one["why"]) for one in kept["corrections"]] == [
        (1, "start", "Ines", "seen"),
        (2, "tack", "Ines", "seen"),
        (3, "rounding", "Ines", "seen"),
    ]
    assert ran("debrief", "evening", "--json") == 0
    after = told(capsys)
    assert after["tacks"] == before["tacks"] - 1
    assert after["legs"][0]["start"] == "2026-06-17T17:35:00+00:00"
    assert after["legs"][0]["end"] == "2026-06-17T17:41:00+00:00"
    assert after["ledger"] != before["ledger"]
    assert ran("correct", "evening", "--undo", "1", "--undo", "2", "--undo", "3") == 0
    capsys.readouterr()
    assert ran("debrief", "evening", "--json") == 0
    assert told(capsys) == before


def test_every_way_to_say_it(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ways = (
        ("--move", "tack@18:36:55=18:36:58"),
        ("--add", "gybe@18:52:50"),
        ("--drop", "gybe@18:47:00"),
        ("--finish", "19:04:30"),
        ("--add", "recall@18:33:06=18:34:00"),
        ("--drop", "recall@18:33:06"),
        ("--mark", "windward@18:48:36"),
    )
    for way in ways:
        assert ran("correct", "evening", *way) == 0, way
    text = capsys.readouterr().out
    assert "tack moved from 18:36:55 to 18:36:58" in text
    assert "start at 18:33:06 was recalled, the one that counted was at 18:34:00" in text
    assert ran("debrief", "evening") == 0
    assert "Corrected by hand, and followed here" in capsys.readouterr().out


def test_without_an_option_it_lists(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran("correct", "evening") == 0
    assert "nothing was corrected" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (("--drop-manoeuvre", "70"), "no manoeuvre 70"),
        (("--start", "12:00"), "outside the log"),
        (("--add", "tack"), "names no detection"),
        (("--undo", "4"), "no correction 4 of this log; it has none"),
        (("--undo", "4", "--start", "18:35"), "in one go"),
    ],
)
def test_what_is_wrong_is_said(
    book: Path, capsys: pytest.CaptureFixture[str], said: tuple[str, ...], words: str
) -> None:
    assert ran("correct", "evening", *said) == 1
    assert words in capsys.readouterr().err
    assert ran("correct", "evening", "--json") == 0
    assert told(capsys)["corrections"] == []


def test_an_empty_list_in_words() -> None:
    screen = Console(record=True, width=80)
    show_corrections(LogCorrections("a" * 64, "UTC", ()), screen)
    assert "nothing was corrected" in screen.export_text()
