from __future__ import annotations

import json
from pathlib import Path

from typer.testing import CliRunner

from cringle.cli.main import app
from cringle.cli.plan import print_wrapped


def test_text_json_and_paper(book_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "plan.pdf"
    done = CliRunner().invoke(app, ["plan", "--book", str(book_folder), "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert "Season plan, Brindle" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert out.read_bytes().startswith(b"%PDF")
    data = json.loads(CliRunner().invoke(app, ["plan", "--book", str(book_folder), "--json"]).stdout)
    assert data["people_by_role"]["jib"] == 3


def test_lines_are_wrapped(capsys: object) -> None:
    print_wrapped(["word " * 40])
    assert max(map(len, capsys.readouterr().out.splitlines())) <= 80  # type: ignore[attr-defined]  # pytest's own
