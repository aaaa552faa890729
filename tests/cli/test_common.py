"""Which book a command means, and JSON that never says NaN."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.cli.common import emit_json, find_book
from cringle.errors import InputError


def test_the_book_named(book_folder: Path) -> None:
    assert find_book(book_folder) == book_folder


def test_a_named_folder_that_is_no_book(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no book here") as caught:
        find_book(tmp_path)
    assert str(tmp_path) in str(caught.value.next_step)


def test_this_folder_then_one_above_then_the_demo(book_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(book_folder)
    assert find_book(None) == book_folder
    inner = book_folder / "logs"
    inner.mkdir()
    monkeypatch.chdir(inner)
    assert find_book(None) == book_folder
    outside = book_folder.parent
    book_folder.rename(outside / "demo-book")
    monkeypatch.chdir(outside)
    assert find_book(None) == outside / "demo-book"


def test_no_book_anywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match="no book found"):
        find_book(None)


def test_json_is_plain_and_knows_no_nan(capsys: pytest.CaptureFixture[str]) -> None:
    emit_json({"boat": "Brindle", "heel_deg": None, "half": "½"})
    out = capsys.readouterr().out
    assert json.loads(out) == {"boat": "Brindle", "heel_deg": None, "half": "½"}
    assert "½" in out
    with pytest.raises(ValueError, match="not JSON compliant"):
        emit_json({"heel_deg": float("nan")})
