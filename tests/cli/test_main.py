"""The front door: lazy, complete in its help, and honest in its exit status."""

from __future__ import annotations

import importlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from cringle.cli.main import COMMANDS, run

HEAVY = {"scipy", "polars", "alembic", "altair", "sqlalchemy", "numpy", "ortools"}
CRINGLE = [sys.executable, "-c", "from cringle.cli.main import run; run()"]


def call(*arguments: str, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "COLUMNS": "100", **environment}
    return subprocess.run(
        [*CRINGLE, *arguments], cwd=cwd, env=env, capture_output=True, text=True, check=False
    )


def status_of(*arguments: str) -> int:
    with pytest.raises(SystemExit) as caught:
        run(arguments)
    return int(caught.value.code or 0)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_exists_and_helps(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert importlib.util.find_spec(COMMANDS[name][0]) is not None
    assert status_of(name, "--help") == 0
    assert "Usage:" in capsys.readouterr().out


def test_unknown_command_is_a_usage_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert status_of("sail") == 2
    assert "No such command" in capsys.readouterr().err


def test_no_book_is_bad_input_with_a_next_step(tmp_path: Path) -> None:
    done = call("today", "--wind", "11", cwd=tmp_path)
    assert done.returncode == 1
    assert done.stdout == ""
    assert "no book found" in done.stderr
    assert "Next:" in done.stderr
    assert "Traceback" not in done.stderr


def test_help_loads_no_heavy_library(tmp_path: Path) -> None:
    code = (
        "import sys; from cringle.cli.main import run\n"
        "try: run(['--help'])\n"
        "except SystemExit: pass\n"
        f"print('HEAVY', sorted({HEAVY} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert "HEAVY []" in done.stdout


def test_completion_scripts_are_offered() -> None:
    shell = {"_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    script = Path(sys.executable).with_name("cringle")
    command = [str(script), "--show-completion", "bash"]
    done = subprocess.run(command, env={**os.environ, **shell}, capture_output=True, text=True, check=True)
    assert "cringle" in done.stdout.lower()


def test_the_command_reference_is_what_the_commands_say(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    root = Path(__file__).parents[2] / "docs"
    spec = importlib.util.spec_from_file_location("make_commands", root / "make_commands.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    written = (root / "reference" / "commands.md").read_text(encoding="utf-8")
    assert written == module.page(), "run: python docs/make_commands.py"


def test_json_is_one_document(tmp_path: Path) -> None:
    done = call("demo", "book", "--json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["made"] is True
