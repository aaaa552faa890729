"""What the rig's how-to page and helps tell people to type works as it stands there."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.cli.rig import app
from cringle.workflows.numbers.csv import import_csv

PAGE = Path(__file__).parents[2] / "docs" / "how-to" / "rig.md"
FENCE = re.compile(r"```sh\n(.*?)```", re.DOTALL)
NEEDS_FILES = ("--wav", "--losses", "--motion", "rig fit")


def documented() -> list[str]:
    """Return every command of the page, in order."""
    text = PAGE.read_text(encoding="utf-8")
    return [line for body in FENCE.findall(text) for line in body.splitlines() if line.startswith("cringle ")]


def in_helps() -> list[str]:
    words = [(one.epilog or "").partition(": ")[2] for one in app.registered_commands]
    found = [line.strip() for text in words for line in text.split("·")]
    return [line for line in found if line and not any(one in line for one in NEEDS_FILES)]


def done(line: str) -> int:
    with pytest.raises(SystemExit) as caught:
        run(shlex.split(line)[1:])
    return int(caught.value.code or 0)


def test_the_page_from_top_to_bottom(
    book_folder: Path,
    examples: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    monkeypatch.chdir(tmp_path)
    assert len(documented()) > 15
    for line in [*documented(), *in_helps()]:
        assert done(line) == 0, (line, capsys.readouterr().err)
    assert {"tune.pdf", "tune.svg", "travel.svg", "geometry.svg"} <= {one.name for one in tmp_path.iterdir()}


def test_every_command_has_an_example_and_a_help() -> None:
    for one in app.registered_commands:
        assert one.epilog, one.callback
        assert one.callback is not None and one.callback.__doc__
