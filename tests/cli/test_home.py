from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from cringle.cli.main import app
from cringle.workflows.outings.outing import Door, end_outing, start_outing


@pytest.fixture
def folder(book_folder: Path) -> Path:
    start_outing(Door(book_folder, at="2026-06-17 18:25"))
    end_outing(Door(book_folder, at="2026-06-17 19:20"))
    return book_folder


def run(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(app, ["home", *arguments, "--book", str(folder)])


def test_first_the_guess_then_the_page(folder: Path, tmp_path: Path) -> None:
    assert "nobody has guessed" in str(run(folder).exception)
    page = run(folder, "--guess", "tack", "--out", str(tmp_path / "home.html"))
    assert page.exit_code == 0
    assert "You guessed: tacks." in page.stdout
    assert max(map(len, page.stdout.splitlines())) <= 80
    assert (tmp_path / "home.html").is_file()


def test_an_action_is_sent_and_said(folder: Path) -> None:
    done = run(folder, "--action", "call the heel", "--route", "trial", "--owner", "main")
    assert "a1 goes to trial; find it with: cringle tonight" in done.stdout


def test_confirming_nothing_is_refused(folder: Path) -> None:
    assert "no settings were noted" in str(run(folder, "--confirm").exception)


def test_json(folder: Path) -> None:
    data = json.loads(run(folder, "--no-guess", "--json").stdout)
    assert data["debrief"] is None
    assert data["outing"] == "2026-06-17"
