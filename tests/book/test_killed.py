"""kill -9 at random instants: nothing acknowledged is lost, nothing half-written is visible."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs fork and SIGKILL")


@pytest.mark.parametrize(("job", "kills"), [("write", 120), ("toml", 60), ("backup", 30), ("restore", 30)])
def test_nothing_acknowledged_is_lost(tmp_path: Path, job: str, kills: int) -> None:
    program = Path(__file__).with_name("killed.py")
    done = subprocess.run(
        [sys.executable, str(program), job, str(tmp_path / "brindle"), str(kills), "20260501"],
        capture_output=True,
        text=True,
        timeout=200,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    report = json.loads(done.stdout)
    assert report["kills"] == kills
    assert report["under_way"] >= kills // 3, "most kills must fall into a write"
    assert report["acknowledged"] > 0
