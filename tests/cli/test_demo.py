"""``cringle demo`` says what it does and, on its last line, where each result is."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.cli.main import run


def test_the_demo_from_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        run(["demo", str(tmp_path / "book")])
    assert not caught.value.code
    out = capsys.readouterr().out
    assert "Brindle tonight: 11 kn" in out
    assert "6 found as noted, 0 noted but not found, 0 found but not noted" in out
    last = out.rstrip().splitlines()[-1]
    for what in ("book: ", "card: ", "strips: ", "evening: ", "recorded log: "):
        assert what in last
    for part in last.split(" · "):
        assert Path(part.partition(": ")[2]).exists(), part


def test_a_folder_in_use_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "letter.txt").write_text("x", encoding="utf-8")
    with pytest.raises(SystemExit) as caught:
        run(["demo", str(tmp_path)])
    assert caught.value.code == 1
    assert "Next: give another folder" in capsys.readouterr().err
