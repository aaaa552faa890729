"""What the how-to pages and the helps tell people to type works as it stands there."""

from __future__ import annotations

import io
import re
import shlex
from pathlib import Path

import pytest
import typer
from pictures import png

from cringle.book.store import Book
from cringle.cli import card, settings_marks, survey
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.outing import Door, start_outing

HOW_TO = Path(__file__).parents[2] / "docs" / "how-to"
PAGES = ("marking-day", "print-strips", "card", "work-list", "visit", "cues-and-feel")
FENCE = re.compile(r"```(\w*)\n(.*?)```", re.DOTALL)
WALK = "\n-20\n340\n100\n220\n25\n\n-30\n350\n2\n64\n9\n241\ny\n"


def commands(page: str) -> list[str]:
    """Return the commands of a page, continued lines joined and comments left out."""
    text = (HOW_TO / f"{page}.md").read_text(encoding="utf-8")
    blocks = [body.replace("\\\n", " ") for kind, body in FENCE.findall(text) if kind == "sh"]
    lines = [line.strip() for body in blocks for line in body.splitlines()]
    return [line for line in lines if line.startswith("cringle ")]


def in_pages() -> list[tuple[str, str]]:
    return [(page, line) for page in PAGES for line in commands(page)]


def in_helps() -> list[tuple[str, str]]:
    marks = typer.Typer()
    settings_marks.register(marks)
    apps = {"survey": survey.app, "card": card.app, "settings": marks}
    found = []
    for name, app in apps.items():
        for command in app.registered_commands:
            words = (command.epilog or "").partition(": ")[2]
            found += [(f"{name} {command.name}", one) for one in words.split(" · ") if one]
    return found


@pytest.fixture
def desk(book_folder: Path, examples: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with everything a page assumes: a book with a table, answers, readings."""
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    text = (HOW_TO / "marking-day.md").read_text(encoding="utf-8")
    toml = next(body for kind, body in FENCE.findall(text) if kind == "toml")
    (tmp_path / "day.toml").write_text(toml, encoding="utf-8")
    rows = [f"{who},{m},{m * 25 + e}" for who in ("Keo", "Marit") for m in (2, 4, 6, 8, 10) for e in (-1, 1)]
    (tmp_path / "readings.csv").write_text(
        "person,mark,reading_mm\n" + "\n".join(rows) + "\n", encoding="utf-8"
    )
    start_outing(Door(book_folder))
    _visit(tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    return tmp_path


def _visit(folder: Path) -> None:
    """Write the file and the photo that the page on a visit speaks of."""
    text = (HOW_TO / "visit.md").read_text(encoding="utf-8")
    toml = next(body for kind, body in FENCE.findall(text) if kind == "toml")
    (folder / "visit.toml").write_text(toml, encoding="utf-8")
    (folder / "cleat.png").write_bytes(png(120))


def test_there_is_something_to_try() -> None:
    assert {page for page, _ in in_pages()} == set(PAGES)
    assert len(in_helps()) >= 10


@pytest.mark.parametrize(("where", "line"), in_pages() + in_helps())
def test_a_printed_command_works(
    desk: Path, where: str, line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(WALK))
    with pytest.raises(SystemExit) as caught:
        run(shlex.split(line, comments=True)[1:])
    assert not caught.value.code, f"{where}: {line}\n{capsys.readouterr().err}"


def test_the_csv_of_the_gauge_page_has_the_right_header() -> None:
    page = HOW_TO.parent / "models" / "gauge-study.md"
    block = next(body for kind, body in FENCE.findall(page.read_text(encoding="utf-8")) if not kind)
    assert block.splitlines()[0] == "person,mark,reading_mm"
