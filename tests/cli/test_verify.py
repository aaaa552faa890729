"""``cringle verify`` ends with status 1 when a check failed."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from cringle.cli import verify as door
from cringle.cli.main import run
from cringle.workflows.verify import OutsideCheck


def check(*, passed: bool) -> OutsideCheck:
    return OutsideCheck(
        "X1", "two", "2", "2", "exact", "a book", "evidence", True, passed, "tests/reference/test_a.py::t"
    )


@pytest.mark.parametrize(("passed", "status", "word"), [(True, 0, "0 failed"), (False, 1, "FAILED")])
def test_status_and_words(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], passed: bool, status: int, word: str
) -> None:
    monkeypatch.setattr(door, "run_outside_checks", lambda only: [check(passed=passed)])
    with pytest.raises(SystemExit) as caught:
        run(["verify"])
    assert (caught.value.code or 0) == status
    assert word in capsys.readouterr().out


def test_missed_facts_are_counted_and_shown_once_more(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    missed = replace(check(passed=False), missed=True)
    monkeypatch.setattr(door, "run_outside_checks", lambda only: [missed])
    with pytest.raises(SystemExit) as caught:
        run(["verify"])
    assert not caught.value.code
    out = capsys.readouterr().out
    assert "1 facts of the trade missed, 0 failed" in out
    assert out.count("MISSED") == 2


def test_json_and_page(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(door, "run_outside_checks", lambda only: [check(passed=True)])
    with pytest.raises(SystemExit):
        run(["verify", "--json", "--write", str(tmp_path / "page.md")])
    assert json.loads(capsys.readouterr().out)["checks"][0]["id"] == "X1"
    assert (tmp_path / "page.md").is_file()
