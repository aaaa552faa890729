"""A boat of inches and pounds is spoken to in inches and pounds; the check bar stays 100 mm."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.boat.write import set_value
from cringle.cli.main import run
from cringle.output.strips import strips_markup
from cringle.workflows.numbers.display import display_units, shown
from cringle.workflows.numbers.marks import lay_strips


@pytest.fixture
def inches(book_folder: Path) -> Path:
    set_value(book_folder / "boat.toml", ("boat", "display_units"), "inch-pound")
    return book_folder


def test_units_come_from_the_boat_file(book_folder: Path) -> None:
    assert display_units(book_folder) == "metric"
    assert list(shown(book_folder, ["25.4 mm"])) == ["25.4 mm"]
    set_value(book_folder / "boat.toml", ("boat", "display_units"), None)
    assert display_units(book_folder) == "metric"


def test_marks_and_the_outing_are_in_inches_and_pounds(
    inches: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for command in (["settings", "marks"], ["outing", "start"], ["outing", "show"]):
        with pytest.raises(SystemExit):
            run([*command, "--book", str(inches)])
    out = capsys.readouterr().out
    assert "one step is 0.49 in of line" in out
    assert "705 lb" in out
    assert " mm" not in out
    assert " kg" not in out


def test_strips_say_inches_and_keep_their_check_bar(inches: Path) -> None:
    files = read_book_files(inches)
    sheets = lay_strips(files, ["jib_sheet_port"], "letter")
    made = datetime(2026, 6, 17, tzinfo=UTC)
    assert "0.98 in a mark" in strips_markup(sheets, "Strips", made, units="inch-pound")
    assert "Measure the bar: 100 mm" in strips_markup(sheets, "Strips", made, units="inch-pound")
    assert "25 mm a mark" in strips_markup(sheets, "Strips", made)
