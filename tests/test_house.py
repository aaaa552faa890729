"""The house keeps its own rules: sizes, no circles, a lock without hosts, every module with its tests."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "cringle"
MODULES = sorted(path for path in SOURCE.rglob("*.py") if "migrations" not in path.parts)
MOST_LINES = 400
MOST_CODE_LINES = 40


def test_the_lock_names_no_host_and_pins_with_hashes() -> None:
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "://" not in text
    packages = re.findall(r"(?m)^[a-z0-9._-]+(?:\[[^\]]*\])?==[^ ]+ \\\n    --hash=sha256:", text)
    assert len(packages) == len(re.findall(r"(?m)^[a-z0-9._-]+(?:\[[^\]]*\])?==", text)) > 50


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_files_and_functions_stay_small(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= MOST_LINES
    long = {name: lines for name, lines in code_lines(text) if lines > MOST_CODE_LINES}
    assert long == {}


def code_lines(text: str) -> Iterator[tuple[str, int]]:
    """Yield each function's name and its lines of code: no docstring, blank line or comment."""
    rows = text.splitlines()
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        first = node.body[0]
        is_docstring = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
        start = (first.end_lineno or first.lineno) if is_docstring else first.lineno - 1
        body = [row.strip() for row in rows[start : node.end_lineno]]
        yield node.name, sum(1 for row in body if row and not row.startswith("#"))


TESTED_WITH = {
    "cli/log_options.py": "cli/test_log.py",
    "cli/speed_options.py": "cli/test_speed_text.py",
    "output/report_heel.py": "output/test_report_race.py",
    "output/report_legs.py": "output/test_report_race.py",
    "output/report_pair.py": "output/test_report_race.py",
    "output/report_pdf.py": "output/test_report_race.py",
    "output/report_race_words.py": "output/test_report_race.py",
    "track/debrief/race_as_json.py": "track/debrief/test_race.py",
    "workflows/afloat/pair.py": "cli/test_log_pair.py",
}
"""Modules without a test file of their own yet, and the file that runs them. The list only gets shorter."""


def mirrored(module: str) -> Path:
    """Return where the tests of a module belong."""
    path = Path(module)
    return ROOT / "tests" / path.parent / f"test_{path.name}"


def test_every_module_has_a_test_file() -> None:
    modules = [path.relative_to(SOURCE).as_posix() for path in MODULES if path.name != "__init__.py"]
    lacking = {one for one in modules if not mirrored(one).is_file()}
    assert lacking - set(TESTED_WITH) == set()


def test_the_list_of_modules_without_a_file_of_their_own_only_gets_shorter() -> None:
    assert {one for one in TESTED_WITH if mirrored(one).is_file() or not (SOURCE / one).is_file()} == set()
    assert {one for one in TESTED_WITH.values() if not (ROOT / "tests" / one).is_file()} == set()


def test_no_circle_even_through_late_imports() -> None:
    names = {module_name(path): path for path in MODULES}
    arrows = {name: set(imported(path, names)) for name, path in names.items()}
    while ends := [name for name, out in arrows.items() if not out & arrows.keys()]:
        for name in ends:
            del arrows[name]
    assert sorted(arrows) == []


def module_name(path: Path) -> str:
    """Return the dotted name of a module of the package."""
    parts = path.relative_to(SOURCE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(path: Path, names: dict[str, Path]) -> Iterator[str]:
    """Yield every module of the package that a file imports, at load or later."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            inner = [f"{node.module}.{one.name}" for one in node.names]
            yield from (one for one in [node.module, *inner] if one in names and one != module_name(path))
        elif isinstance(node, ast.Import):
            yield from (one.name for one in node.names if one.name in names)


def test_every_example_file_of_the_demo_is_there() -> None:
    for name in (
        "class.toml",
        "boat.toml",
        "crew.toml",
        "survey.toml",
        "table.csv",
        "cues.csv",
        "evening.nmea",
    ):
        assert (ROOT / "examples" / name).is_file()
