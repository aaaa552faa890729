"""``cringle feel`` as a crew runs it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.cli.main import run
from cringle.workflows.outings.outing import Door, end_outing, start_outing


@pytest.fixture
def folder(book_folder: Path) -> Path:
    for day in ("2026-06-10", "2026-06-17"):
        start_outing(Door(book_folder, at=f"{day} 18:00"))
        end_outing(Door(book_folder, at=f"{day} 20:00"))
    return book_folder


def called(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as caught:
        run(["feel", *words, "--book", str(folder)])
    out = capsys.readouterr()
    return int(caught.value.code or 0), out.out, out.err


THREE = ("--caller", "keo", "--call", "12=15", "--call", "10=14", "--call", "12=15")


def test_nobody_has_called_yet(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "Nobody has called a heel yet" in called(folder, capsys)[1]


def test_a_spotter_tells_the_truth_over_two_outings(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    called(folder, capsys, *THREE, "--outing", "2026-06-10")
    good = ("--caller", "Keo", "--call", "15=15", "--call", "14=14", "--call", "16=15")
    _, out, _ = called(folder, capsys, *good)
    assert "Keo: −2° over 6 calls (2026-06-10 −3°, 2026-06-17 0°); good enough" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80
    data = json.loads(called(folder, capsys, "--json")[1])
    assert [one["count"] for one in data["people"][0]["days"]] == [3, 3]


def test_a_large_bias_says_what_to_do(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = called(folder, capsys, *THREE)
    assert "said 3° less than there was the last time: call, look, call again" in " ".join(out.split())


@pytest.mark.parametrize(
    ("words", "match"),
    [
        (("--caller", "Keo"), "half a drill"),
        (("--log", "evening"), "half a drill"),
        (("--caller", "Nobody", "--call", "1=1"), "Nobody"),
        (("--caller", "Keo", "--call", "1=1"), "1 call says nothing"),
        (("--caller", "Keo", "--call", "12"), "has no ="),
        (("--caller", "Keo", "--call", "a=b"), "CALLED=TRUE"),
        (("--caller", "Keo", "--call", "1=99", "--call", "1=1", "--call", "1=1"), "99"),
    ],
)
def test_bad_input_says_what_to_do(
    folder: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], match: str
) -> None:
    status, _, err = called(folder, capsys, *words)
    assert status == 1
    assert match in err
    assert "Next:" in err
