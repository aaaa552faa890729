"""The process beside the server: lines in, lines out, and its limits."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from cringle.errors import LogError
from cringle.web import worker
from cringle.workflows.serving.errands import Errand


def lines_of(errand: Errand) -> list[dict[str, Any]]:
    """Return what a real process tells."""
    done = subprocess.run(
        [sys.executable, "-m", "cringle.web.worker"],
        input=json.dumps(errand.to_json()) + "\n",
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


def test_a_log_is_read_with_progress(folder: Path, examples: Path) -> None:
    told = lines_of(Errand("log", folder, "coach", examples / "evening.nmea"))
    assert "progress" in told[0]
    assert told[-1]["done"]["logs"][0]["name"] == "evening.nmea"


def test_a_wrong_file_is_a_problem_without_a_path(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "picture.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(2000))
    (told,) = (one for one in lines_of(Errand("log", folder, "coach", path)) if "problem" in one)
    assert told["status"] == 422
    assert "picture.png" in told["problem"]["message"]
    assert str(tmp_path) not in told["problem"]["message"]
    assert told["problem"]["next_step"]


def test_memory_is_limited() -> None:
    code = (
        "from cringle.web.worker import limit\nlimit(400_000_000)\n"
        "try:\n    bytearray(500_000_000)\nexcept MemoryError:\n    print('refused')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "refused"


def test_no_memory_becomes_words(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    def greedy(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr("cringle.workflows.serving.errands.run_errand", greedy)
    told: list[dict[str, Any]] = []
    worker.do(Errand("log", folder, "coach").to_json(), told.append)
    assert "memory" in told[0]["problem"]["message"]


def test_progress_is_told_seldom() -> None:
    told: list[dict[str, Any]] = []
    progress = worker.told_seldom(told.append)
    for done in range(10_001):
        progress(done, 10_000)
    assert 90 <= len(told) <= 102
    assert told[-1] == {"progress": [10_000, 10_000]}
    worker.told_seldom(told.append)(0, 0)


def test_an_error_keeps_its_next_step(tmp_path: Path) -> None:
    path = tmp_path / "a.nmea"
    line = worker.problem_line(LogError("no date", path=path, line=3, next_step="give --date"), path)
    assert line["problem"]["message"] == "a.nmea:3: no date"
    assert line["problem"]["next_step"] == "give --date"
