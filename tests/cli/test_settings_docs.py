"""Every command shown on the pages about tonight and the table runs as it stands."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv

PAGES = Path(__file__).parents[2] / "docs" / "how-to"
NAMES = ("read-tonights-numbers.md", "edit-the-table.md")


def commands(page):
    blocks = re.findall(r"```sh\n(.*?)```", (PAGES / page).read_text(encoding="utf-8"), re.DOTALL)
    return [
        shlex.split(line, comments=True) for block in blocks for line in block.splitlines() if line.strip()
    ]


@pytest.mark.parametrize("page", NAMES)
def test_the_page_runs(page, book_folder, examples, monkeypatch, capsys):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    monkeypatch.chdir(book_folder)
    shown = commands(page)
    assert shown
    for words in shown:
        assert words[0] == "cringle"
        with pytest.raises(SystemExit) as caught:
            run(words[1:])
        assert (words, caught.value.code or 0, capsys.readouterr().err) == (words, 0, "")
