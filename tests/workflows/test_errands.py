"""Errands: plain values both ways, each kind does what the command does."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import pytest

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.errands import KINDS, Errand, run_errand
from cringle.workflows.logs import list_logs
from cringle.workflows.outing import Door, start_outing


@pytest.fixture
def folder(tmp_path: Path, examples: Path) -> Path:
    own = tmp_path / "book"
    own.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, own / name)
    with Book.open(own, create=True, who="coach"):
        pass
    start_outing(Door(own))
    return own


def pocket(path: Path) -> Path:
    one = {
        "uid": str(uuid4()),
        "at_utc": datetime.now(UTC).isoformat(),
        "by": "Keo",
        "kind": "note",
        "text": "fast",
    }
    found = {"format": "cringle-pocket/1", "boat": "Brindle", "entries": [one]}
    path.write_text(json.dumps(found), encoding="utf-8")
    return path


def test_an_errand_survives_being_told(tmp_path: Path) -> None:
    one = Errand("log", tmp_path, "Ines", tmp_path / "a.nmea", {"prefer": "ours"})
    assert Errand.from_json(json.loads(json.dumps(one.to_json()))) == one
    assert Errand.from_json(Errand("x", tmp_path, "Ines").to_json()).path is None


def test_a_log_is_kept_with_progress(folder: Path, examples: Path) -> None:
    steps: list[tuple[int, int]] = []
    errand = Errand("log", folder, "coach", examples / "evening.nmea")
    found = run_errand(errand, lambda done, total: steps.append((done, total)))
    assert found["logs"][0]["rows"] == list_logs(folder)[0].rows > 2000
    assert steps[-1][0] == steps[-1][1]
    json.dumps(found, allow_nan=False)


@pytest.mark.parametrize("kind", ["pocket", "history"])
def test_notes_are_taken_in_once(folder: Path, tmp_path: Path, kind: str) -> None:
    errand = Errand(kind, folder, "coach", pocket(tmp_path / "notes.json"))
    assert [run_errand(errand)["taken"] for _ in range(2)] == [1, 0]


def test_what_is_no_history_is_refused(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "x"
    path.write_bytes(b"%PDF")
    with pytest.raises(InputError, match="no history"):
        run_errand(Errand("history", folder, "coach", path))


@pytest.mark.parametrize("kind", ["log", "pocket", "history"])
def test_without_a_file_it_says_so(folder: Path, kind: str) -> None:
    assert kind in KINDS
    with pytest.raises(InputError, match="no file"):
        run_errand(Errand(kind, folder, "coach"))


def test_an_unknown_kind_is_refused(folder: Path) -> None:
    with pytest.raises(InputError, match="no errand"):
        run_errand(Errand("fly", folder, "coach"))
