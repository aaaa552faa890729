from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cringle.book.store import Book
from cringle.cli.main import app
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.moments import lock


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first")
    return book_folder


def run(folder: Path, *arguments: str) -> str:
    done = CliRunner().invoke(app, ["tonight", *arguments, "--book", str(folder)])
    assert done.exit_code == 0, done.output
    return done.stdout


def test_the_page_and_its_json_say_the_same(folder: Path) -> None:
    text = run(folder, "--wind", "10")
    data = json.loads(run(folder, "--wind", "10", "--json"))
    assert text.startswith("Brindle: 10 kn")
    assert data["wind_kn"] == 10.0
    assert data["racing"] is False
    assert data["changed"] == []
    assert {"check", "ticked"} == set(data["ready"][0])


def test_while_racing_another_wind_changes_nothing(folder: Path) -> None:
    lock(folder, TonightRequest(wind_kn=10.0), who="Ines")
    first, second = run(folder, "--wind", "8"), run(folder, "--wind", "20")
    assert first == second
    assert "RRS 41" in first
    assert "\nIf " not in first
    for ashore in ("\nFIRST ", "\nReady ", "\nPrint ", "cringle card"):
        assert ashore not in first
    assert first.rstrip().endswith("have the last word.")


def test_no_wind_is_asked_for(folder: Path) -> None:
    done = CliRunner().invoke(app, ["tonight", "--book", str(folder)])
    assert "no wind given" in str(done.exception)
