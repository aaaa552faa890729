from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.files import copy_file, replace_file, sha256_of, temporary_beside


def test_a_copy_is_byte_for_byte_and_leaves_no_pieces(tmp_path: Path) -> None:
    source = tmp_path / "log.nmea"
    source.write_bytes(bytes(range(256)) * 5000)
    copy_file(source, tmp_path / "book" / "logs" / "log.nmea")
    copied = tmp_path / "book" / "logs" / "log.nmea"
    assert copied.read_bytes() == source.read_bytes()
    assert sha256_of(copied) == sha256_of(source)
    assert [path.name for path in copied.parent.iterdir()] == ["log.nmea"]


def test_a_failed_copy_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "photo.jpg"
    target.write_bytes(b"old")

    def full(source: Path, part: Path) -> None:
        Path(part).write_bytes(b"ne")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfile", full)
    with pytest.raises(OSError, match="No space"):
        copy_file(tmp_path / "new.jpg", target)
    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["photo.jpg"]


def test_a_temporary_file_is_hidden_and_beside(tmp_path: Path) -> None:
    part = temporary_beside(tmp_path / "book.sqlite")
    assert part.parent == tmp_path
    assert part.name.startswith(".book.sqlite.")
    part.write_bytes(b"new")
    replace_file(part, tmp_path / "book.sqlite")
    assert [path.name for path in tmp_path.iterdir()] == ["book.sqlite"]
