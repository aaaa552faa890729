"""``cringle shelf`` as a coach with two boats runs it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.cli.main import run
from cringle.workflows.numbers.csv import import_csv


@pytest.fixture
def shelf(tmp_path: Path, examples: Path) -> Path:
    for name in ("a", "b"):
        book = tmp_path / name
        book.mkdir()
        for file in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
            shutil.copyfile(examples / file, book / file)
        Book.open(book, create=True).close()
        import_csv(book, examples / "table.csv", who="coach")
    return tmp_path


def called(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as caught:
        run(["shelf", *arguments])
    out = capsys.readouterr()
    return int(caught.value.code or 0), out.out, out.err


def test_list_and_compare(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = called(capsys, "list", "--shelf", str(shelf))
    assert status == 0
    assert out.count("Brindle") == 2
    status, out, _ = called(capsys, "compare", "--wind", "12", "--shelf", str(shelf))
    assert status == 0
    assert "4½ = 45 mm" in out
    assert "0 mm" in out


def test_json(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = called(capsys, "list", "--shelf", str(shelf), "--json")
    assert status == 0
    assert [one["name"] for one in json.loads(out)["books"]] == ["a", "b"]


def test_share_shows_then_takes(shelf: Path, examples: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (
        (examples / "class.toml")
        .read_text(encoding="utf-8")
        .replace("wind_limit_kn = 25.0", "wind_limit_kn = 22.0")
    )
    (shelf / "class.toml").write_text(text, encoding="utf-8")
    _, out, _ = called(capsys, "share", "class", "--shelf", str(shelf))
    assert "a: class.toml would change" in out
    assert "+wind_limit_kn = 22.0" in out
    _, out, _ = called(capsys, "share", "class", "--take", "--shelf", str(shelf))
    assert "b: class.toml taken over" in out


def test_an_empty_shelf_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = called(capsys, "list", "--shelf", str(tmp_path))
    assert status == 1
    assert "Next:" in err
