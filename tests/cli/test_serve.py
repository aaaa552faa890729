from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cringle.cli import serve as module
from cringle.web import server


def test_it_says_where_and_runs(book_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ran = []
    monkeypatch.setattr(server, "run_server", ran.append)
    told = CliRunner().invoke(module.app, ["--book", str(book_folder), "--port", "8999"])
    assert told.exit_code == 0
    assert "http://127.0.0.1:8999" in told.stdout
    assert ran[0].settings.folder == book_folder


def test_tonight_on_the_command_line_loads_nothing_of_it(book_folder: Path) -> None:
    code = (
        "import sys; from cringle.cli.main import run\n"
        "try: run(['today', '--wind', '11', '--book', sys.argv[1]])\n"
        "except SystemExit: pass\n"
        "heavy = {'fastapi', 'uvicorn', 'starlette', 'jinja2', 'segno', 'itsdangerous'} & set(sys.modules)\n"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(book_folder)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
