from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from click.testing import Result
from typer.testing import CliRunner

from cringle.book.store import Book
from cringle.cli.between import between_lines
from cringle.cli.main import app
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.round.between import between


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", None, who="coach", why="first")
    start_outing(Door(book_folder))
    return book_folder


def run(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(app, ["between", *arguments, "--book", str(folder)])


def test_the_evening_by_hand(folder: Path) -> None:
    soon = datetime.now(ZoneInfo("Europe/London")) + timedelta(minutes=30)
    assert "min left" in run(folder, "--signal", soon.isoformat(timespec="seconds")).stdout
    page = run(folder, "--wind", "14").stdout
    assert "min left" in page
    assert max(map(len, page.splitlines())) <= 80
    kept = run(folder, "--wind", "14", "--keep")
    assert kept.exit_code == 0
    assert kept.stdout.splitlines()[-1] == "kept: 6 moves noted as made; back with: cringle between --undo"
    assert "back: " in run(folder, "--undo").stdout
    assert "we could not hold our height" in run(folder, "--said", "height", "--bad").stdout
    assert "racing" in run(folder, "--racing").stdout
    assert "RRS 41" in run(folder, "--wind", "18").stdout
    assert "RRS 41" in str(run(folder, "--wind", "18", "--keep").exception)
    assert "not racing" in run(folder, "--race-over").stdout.replace("preparatory signal", "not racing")


def test_what_was_kept_is_said_in_its_number(folder: Path) -> None:
    last = ""
    for _ in range(4):
        last = run(folder, "--wind", "14", "--keep").stdout.splitlines()[-1]
    assert last == "kept: nothing had to change"
    assert json.loads(run(folder, "--wind", "14", "--keep", "--json").stdout)["moves"] == []


def test_an_empty_table_is_not_nothing_to_change(book_folder: Path) -> None:
    start_outing(Door(book_folder))
    page = run(book_folder, "--wind", "14").stdout
    assert "no numbers for these sails yet" in page
    assert "nothing to change" not in page


def test_fifteen_seconds(folder: Path) -> None:
    lines = list(between_lines(between(folder, TonightRequest(wind_kn=14.0))))
    moves = [line for line in lines if " by " in line and ": " in line]
    assert len(moves) <= 6
    assert "shrouds" in moves[0]
    assert len(lines) <= 12


def test_json_is_alone_on_the_output(folder: Path) -> None:
    done = run(folder, "--wind", "14", "--said", "speed", "--good", "--json")
    assert json.loads(done.stdout)["schema"] == 1


def test_without_a_wind_it_asks(folder: Path) -> None:
    assert "no wind given" in str(run(folder).exception)
