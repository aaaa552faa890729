"""What the pages about the speed model tell people to type works as it stands there."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run

HOW_TO = Path(__file__).parents[2] / "docs" / "how-to"
FENCE = re.compile(r"```sh\n(.*?)```", re.DOTALL)


def commands():
    found = []
    for page in ("targets", "crew-places", "lanes"):
        for body in FENCE.findall((HOW_TO / f"{page}.md").read_text(encoding="utf-8")):
            found += [line.strip() for line in body.splitlines() if line.startswith("cringle ")]
    return found


@pytest.fixture
def desk(book_folder, examples, tmp_path, monkeypatch):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    shutil.copyfile(examples / "steady.csv", tmp_path / "steady.csv")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CRINGLE_BOOK", str(book_folder))
    return tmp_path


def quick(line):
    """Return the words of a command with a small ensemble where it may have one."""
    words = shlex.split(line)[1:]
    return [*words, "--members", "2"] if words[1] in {"targets", "techniques", "crew", "depower"} else words


@pytest.mark.parametrize("line", commands())
def test_the_command_works(desk, capsys, line):
    with pytest.raises(SystemExit) as caught:
        run(quick(line))
    assert int(caught.value.code or 0) == 0, capsys.readouterr().err
    out = re.search(r"--(?:out|places) (\S+)", line)
    assert out is None or (desk / out.group(1)).stat().st_size > 500


def test_there_is_something_to_try():
    assert len(commands()) >= 15
