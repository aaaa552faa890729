"""Running every check against the world outside, and writing down how it came out."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from cringle.boat.write import write_atomically
from cringle.errors import CringleError, InputError

KIND_WORDS = {
    "evidence": "an independent source or library agrees",
    "arithmetic": "code and published table agree; a misremembered coefficient would not show",
    "simulation": "the truth of our own simulation comes back; it shares our models and cannot prove them",
    "practice": "a fact of the trade; common practice, no source",
}


@dataclass(frozen=True)
class OutsideCheck:
    """One check as it came out; `missed`: a fact of the trade that is known not to be met."""

    id: str
    what: str
    got: str
    expected: str
    tolerance: str
    source: str
    kind: str
    from_memory: bool
    passed: bool
    test: str
    missed: bool = False

    @property
    def failed(self) -> bool:
        """Neither passed nor known to be missed."""
        return not self.passed and not self.missed

    @property
    def result(self) -> str:
        """How it came out, in a word."""
        return "passed" if self.passed else "missed" if self.missed else "failed"


def checks_folder() -> Path:
    """Return the folder of the outside checks.

    Raises
    ------
    InputError
        Cringle was installed without its tests.
    """
    folder = Path(__file__).parents[3] / "tests" / "reference"
    if not folder.is_dir():
        raise InputError(
            "the outside checks are not installed here",
            next_step="run this in a checkout of the project, after: make setup",
        )
    return folder


def run_outside_checks(only: Sequence[str] = ()) -> list[OutsideCheck]:
    """Run the outside checks and return how each came out.

    Parameters
    ----------
    only : sequence of str
        Topics to run (``hydro``, ``rig`` ...); all when empty.

    Raises
    ------
    InputError
        A topic has no checks; the message lists those there are.
    CringleError
        The checks could not be run at all.
    """
    folder = checks_folder()
    targets = [str(_topic_file(folder, topic)) for topic in only] or [str(folder)]
    with tempfile.TemporaryDirectory() as scratch:
        record = Path(scratch) / "record.json"
        command = [sys.executable, "-m", "pytest", "-q", "-n", "0", f"--outside-record={record}", *targets]
        done = subprocess.run(
            command, cwd=folder.parents[1], env=_environment(), capture_output=True, text=True, check=False
        )
        if not record.is_file():
            raise CringleError(
                f"the checks did not run:\n{done.stdout[-2000:]}{done.stderr[-2000:]}",
                next_step="run: make setup",
            )
        rows = json.loads(record.read_text(encoding="utf-8"))
    checks = sorted((OutsideCheck(**row) for row in rows), key=lambda one: (one.test, one.id))
    if done.returncode != 0 and not any(one.failed for one in checks):
        raise CringleError(f"a check stopped before it had a result:\n{done.stdout[-2000:]}")
    return checks


def _topic_file(folder: Path, topic: str) -> Path:
    path = folder / f"test_{topic}.py"
    if not path.is_file():
        known = sorted(one.stem.removeprefix("test_") for one in folder.glob("test_*.py"))
        raise InputError(f"no checks on {topic!r}", next_step=f"topics: {', '.join(known)}")
    return path


def _environment() -> dict[str, str]:
    return {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}


def write_verification_page(checks: Sequence[OutsideCheck], path: Path) -> None:
    """Write the checks as a Markdown page, by topic, with source and kind beside each."""
    write_atomically(path, "\n".join(_page_lines(checks)).encode("utf-8"))


def _page_lines(checks: Sequence[OutsideCheck]) -> list[str]:
    lines = ["# Verification", "", "Written by `cringle verify --write`; do not edit by hand.", ""]
    lines += ["| kind | meaning | checks | passed | missed |", "|---|---|---:|---:|---:|"]
    for kind, words in KIND_WORDS.items():
        those = [one for one in checks if one.kind == kind]
        passed, missed = sum(one.passed for one in those), sum(one.missed for one in those)
        lines.append(f"| {kind} | {words} | {len(those)} | {passed} | {missed} |")
    topics = list(dict.fromkeys(_topic(one) for one in checks))
    for topic in topics:
        lines += [
            "",
            f"## {topic}",
            "",
            "| id | what | got | expected | tolerance | source | kind | |",
            "|---|---|---|---|---|---|---|---|",
        ]
        lines += [_row(one) for one in checks if _topic(one) == topic]
    return [*lines, ""]


def _topic(check: OutsideCheck) -> str:
    return Path(check.test.partition("::")[0]).stem.removeprefix("test_").replace("_", " ")


def _row(check: OutsideCheck) -> str:
    source = check.source + (" (from memory)" if check.from_memory else "")
    result = "passed" if check.passed else f"**{check.result}**"
    cells = [check.id, check.what, check.got, check.expected, check.tolerance, source, check.kind, result]
    return "| " + " | ".join(one.replace("|", "\\|").replace("\n", " ") for one in cells) + " |"


def check_as_json(check: OutsideCheck) -> dict[str, object]:
    """Return one check with JSON types."""
    return {one.name: getattr(check, one.name) for one in fields(check)}
