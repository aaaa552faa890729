from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.output.sheet import Sheet, sheet_html, sheet_lines
from cringle.workflows.outings.outing import Door
from cringle.workflows.round.home import HomeAsked, home
from cringle.workflows.round.route import route_action
from cringle.workflows.round.sheet import home_json, home_sheet, write_home

MADE = datetime(2026, 6, 17, 20, 0, tzinfo=UTC)
ORDER = [
    "What the data cannot tell",
    "Your own guess",
    "Keep, change, try",
    "Where the time went",
    "Heel",
    "Manoeuvres",
    "Goals of the day",
    "Settings in force",
    "Still to do",
]


@pytest.fixture
def sheet(sailed_book: Path) -> Sheet:
    route_action(Door(sailed_book), "call the heel aloud", route="drill", owner="main")
    return home_sheet(sailed_book, home(sailed_book, HomeAsked(no_guess=True), who="coach"))


def test_the_order_is_the_one_it_is_talked_through_in(sheet: Sheet) -> None:
    assert [one.title for one in sheet.filled] == ORDER


def test_nobody_is_named(sheet: Sheet, sailed_book: Path) -> None:
    page = " ".join(sheet_lines(sheet))
    for person in read_book_files(sailed_book).crew_file.people:
        assert person.name not in page


def test_at_most_one_keep_one_change_one_try(sheet: Sheet) -> None:
    lines = next(one.lines for one in sheet.filled if one.title == "Keep, change, try")
    assert [line.split(":")[0] for line in lines] == ["Keep", "Change", "Try"][: len(lines)]


def test_seconds_are_whole(sheet: Sheet) -> None:
    rows = next(one.rows for one in sheet.filled if one.title == "Where the time went")
    assert rows
    assert all(re.fullmatch(r"−?-?\d+", row[1]) for row in rows)


def test_it_is_written_as_pdf_and_html(sheet: Sheet, tmp_path: Path) -> None:
    write_home(sheet, tmp_path / "home.pdf", MADE)
    write_home(sheet, tmp_path / "home.html", MADE)
    assert (tmp_path / "home.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "home.html").read_text(encoding="utf-8") == sheet_html(sheet)
    with pytest.raises(InputError, match="accepted are"):
        write_home(sheet, tmp_path / "home.doc", MADE)


def test_the_pdf_is_one_page(sheet: Sheet, tmp_path: Path) -> None:
    from pypdfium2 import PdfDocument

    write_home(sheet, tmp_path / "home.pdf", MADE)
    assert len(PdfDocument(tmp_path / "home.pdf")) == 1


def test_it_stays_one_page_when_much_is_open(sailed_book: Path, tmp_path: Path) -> None:
    from pypdfium2 import PdfDocument

    for place in range(20):
        route_action(Door(sailed_book), f"thing {place} to do " * 5, route="drill", owner="crew")
    sheet = home_sheet(sailed_book, home(sailed_book, HomeAsked(no_guess=True), who="coach"))
    lines = next(one.lines for one in sheet.sections if one.title == "Still to do")
    assert len(lines) == 9
    assert lines[-1] == "And 12 more: cringle outing action."
    write_home(sheet, tmp_path / "home.pdf", MADE)
    assert len(PdfDocument(tmp_path / "home.pdf")) == 1


def test_json_is_plain(sailed_book: Path) -> None:
    data = home_json(home(sailed_book, HomeAsked(no_guess=True), who="coach"))
    json.dumps(data, allow_nan=False, default=str)
    assert data["guess"] is None
    assert data["goals"][0]["met_by_data"] in (True, False)
