from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv

Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


@pytest.fixture
def book(folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setenv("CRINGLE_BOOK", str(folder))
    monkeypatch.setenv("COLUMNS", "200")

    def called(*arguments: str, group: str = "book") -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as caught:
            run([group, *arguments])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_check_says_well_with_status_0_and_mistakes_with_1(book: Command, folder: Path) -> None:
    status, out, _ = book("check")
    assert status == 0
    assert out.splitlines()[-1] == "the book is well"
    path = folder / "boat.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("step = 0.5", "step = 50.0", 1), encoding="utf-8"
    )
    status, out, _ = book("check", str(folder))
    assert status == 1
    assert f"mistake: {path}:16" in out
    assert out.splitlines()[-1] == "1 mistake to mend"
    found = json.loads(book("check", "--json")[1])
    assert found["well"] is False
    assert found["mistakes"][0]["path"] == str(path)


def test_history_shows_who_when_and_why(book: Command) -> None:
    out = book("history", "--kind", "setting", "--role", "backstay", "--wind", "10", "--limit", "2")[1]
    assert "Ines:" in out
    assert "setting table main+kite" in out
    assert out.count("  #") == 2
    found = json.loads(book("history", "--limit", "1", "--json")[1])
    assert len(found["batches"][0]["entries"]) == 1
    assert "nothing of that kind" in book("history", "--kind", "trial")[1]


def test_revert_shows_then_does_then_takes_back(book: Command, folder: Path) -> None:
    book("set", "backstay", "6", "--wind", "10", group="settings")
    with Book.open(folder) as opened:
        before = {entry.key: entry.value for entry in opened.current("setting")}
    status, out, _ = book("revert", "--to", "#0", "--dry-run")
    assert status == 0
    assert "cells would change; nothing was written" in out
    assert "and" in out
    assert json.loads(book("revert", "--to", "#0", "--why", "a test", "--json")[1])["written"] is True
    with Book.open(folder) as opened:
        assert opened.current("setting") == []
    book("revert")
    with Book.open(folder) as opened:
        assert {entry.key: entry.value for entry in opened.current("setting")} == before


def test_backup_and_restore(book: Command, folder: Path, tmp_path: Path) -> None:
    target = tmp_path / "b.zip"
    status, out, _ = book("backup", str(target))
    assert status == 0
    assert "5 files" in out
    status, _, err = book("backup", str(target))
    assert status == 1
    assert "is there already" in err
    found = json.loads(book("backup", str(target), "--replace", "--json")[1])
    assert found["path"] == str(target)
    assert found["made_at_utc"].endswith("Z")
    again = tmp_path / "again"
    assert json.loads(book("restore", str(target), str(again), "--json")[1])["replaced"] is None
    status, _, err = book("restore", str(target), str(again))
    assert status == 1
    assert "--replace" in err
    status, out, _ = book("restore", str(target), str(again), "--replace")
    assert status == 0
    assert "the book that stood there is now" in out
    target.write_bytes(b"PK")
    status, _, err = book("restore", str(target), str(tmp_path / "third"))
    assert status == 1
    assert "Next: take another backup file" in err
    assert not (tmp_path / "third").exists()


def test_export_and_import_with_a_conflict_that_ends_with_3(
    book: Command, folder: Path, tmp_path: Path
) -> None:
    book("backup", str(tmp_path / "b.zip"))
    book("restore", str(tmp_path / "b.zip"), str(tmp_path / "copy"))
    seen = ("--wind", "10", "--why", "x")
    for place, value in ((folder, "6"), (tmp_path / "copy", "7")):
        assert book("set", "backstay", value, *seen, "--book", str(place), group="settings")[0] == 0
    lines = tmp_path / "h.jsonl"
    assert "entries written" in book("export", str(lines), "--book", str(tmp_path / "copy"))[1]
    status, _, err = book("import", str(lines))
    assert status == 3
    assert "you wrote 6 mark, coach wrote 7 mark" in err
    assert "--prefer ours" in err
    assert book("import", str(lines), "--prefer", "mine")[0] == 1
    out = book("import", str(lines), "--prefer", "ours")[1]
    assert "here 6 mark, there 7 mark" in out
    assert json.loads(book("import", str(lines), "--json")[1])["added"] == 0
    assert json.loads(book("export", str(tmp_path / "i.jsonl"), "--json")[1])["entries"] > 0


def test_no_book_here_says_what_to_do(book: Command, tmp_path: Path) -> None:
    status, _, err = book("history", "--book", str(tmp_path))
    assert status == 1
    assert "cringle book new" in err


def test_the_group_lists_its_commands(book: Command) -> None:
    out = book("--help")[1]
    for name in ("new", "check", "history", "revert", "backup", "restore", "export", "import"):
        assert name in out
