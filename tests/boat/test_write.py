"""Files keep their comments, and a write that fails leaves the old file."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.boat.toml_text import read_toml
from cringle.boat.write import append_tables, set_value, set_values, write_atomically
from cringle.errors import BookError, InputError


def test_comments_survive_a_change(book_folder: Path) -> None:
    path = book_folder / "boat.toml"
    before = path.read_text(encoding="utf-8")
    set_value(path, ("controls", 0, "mm_per_mark"), 30.0)
    set_value(path, ("controls", 1, "mm_per_mark"), 30.0)
    after = path.read_text(encoding="utf-8")
    assert [row for row in after.splitlines() if "#" in row] == [
        row for row in before.splitlines() if "#" in row
    ]
    assert read_book_files(book_folder).boat_file.controls[0].mm_per_mark == 30.0
    changed = [
        pair for pair in zip(before.splitlines(), after.splitlines(), strict=True) if pair[0] != pair[1]
    ]
    assert len(changed) == 2


def test_a_field_can_be_taken_out(book_folder: Path) -> None:
    set_value(book_folder / "boat.toml", ("controls", 0, "stop_low_mm"), None)
    assert read_book_files(book_folder).boat_file.controls[0].stop_low_mm is None


def test_several_changes_are_one_write_or_none(book_folder: Path) -> None:
    path = book_folder / "boat.toml"
    before = path.read_bytes()
    with pytest.raises(InputError, match="no table"):
        set_values(path, [(("controls", 0, "low"), 1), (("controls", 99, "low"), 1)])
    assert path.read_bytes() == before
    set_values(path, [(("controls", 0, "low"), 1), (("controls", 0, "high"), 11)])
    control = read_book_files(book_folder).boat_file.controls[0]
    assert (control.low, control.high) == (1.0, 11.0)


def test_tables_are_added_behind_the_others(tmp_path: Path) -> None:
    path = tmp_path / "survey.toml"
    path.write_text('# mine\n[[items]]\nid = "a" # first\n\n[[departure]]\nid = "d"\n', encoding="utf-8")
    append_tables(path, "items", [{"id": "b", "rule": {"number": "C.1"}}, {"id": "c"}])
    append_tables(path, "notes", [{"id": "n"}])
    found = read_toml(path)
    assert [one["id"] for one in found.data["items"]] == ["a", "b", "c"]
    assert found.data["items"][1]["rule"] == {"number": "C.1"}
    assert found.data["departure"] == [{"id": "d"}]
    assert found.data["notes"] == [{"id": "n"}]
    assert found.text.startswith('# mine\n[[items]]\nid = "a" # first\n')


def test_a_place_that_is_not_there(book_folder: Path) -> None:
    with pytest.raises(InputError, match="no table"):
        set_value(book_folder / "boat.toml", ("controls", 99, "step"), 1.0)


def test_a_failed_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "x.toml"
    path.write_text("old", encoding="utf-8")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BookError, match="No space left"):
        write_atomically(path, b"new")
    assert path.read_text(encoding="utf-8") == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["x.toml"]


def test_file_is_synced_before_it_is_renamed_and_the_folder_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[str] = []
    real_sync, real_replace = os.fsync, Path.replace
    monkeypatch.setattr(os, "fsync", lambda handle: (calls.append("fsync"), real_sync(handle))[1])
    monkeypatch.setattr(
        Path, "replace", lambda self, target: (calls.append("rename"), real_replace(self, target))[1]
    )
    write_atomically(tmp_path / "x", b"1")
    assert calls == ["fsync", "rename", "fsync"]
