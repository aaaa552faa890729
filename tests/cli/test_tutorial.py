"""The tutorial's evening, from dock to home: every command of the page, in order, on a fresh demo book."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from cringle.cli.main import run

PAGE = Path(__file__).parents[2] / "docs" / "tutorial" / "first-evening.md"
FENCE = re.compile(r"```(\w*)\n(.*?)```", re.DOTALL)


def blocks(kind: str) -> list[str]:
    """Return the fenced blocks of a kind, in order."""
    return [body for one, body in FENCE.findall(PAGE.read_text(encoding="utf-8")) if one == kind]


def test_every_command_works_and_what_is_shown_is_what_comes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("CRINGLE_BOOK", raising=False)
    said = []
    lines = [line for body in blocks("sh") for line in body.splitlines()]
    assert len(lines) >= 18
    for line in lines:
        with pytest.raises(SystemExit) as caught:
            run(shlex.split(line)[1:])
        out = capsys.readouterr()
        assert not caught.value.code, f"{line}\n{out.err}"
        said.append(out.out)
    whole = "\n".join(said)
    for shown in blocks("text"):
        assert shown in whole
    assert "You guessed: tacks." in whole
    assert "a2 goes to work list" in whole
    for name in ("card.pdf", "home.pdf", "home.html"):
        assert (tmp_path / name).is_file()
