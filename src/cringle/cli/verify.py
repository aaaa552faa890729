"""``cringle verify``: the proof that the numbers agree with the world outside."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import JsonOption, console, emit_json
from cringle.cli.lines import print_lines
from cringle.workflows.verify import OutsideCheck, check_as_json, run_outside_checks, write_verification_page

WORDS = {"passed": "ok    ", "missed": "MISSED", "failed": "FAILED"}

app = typer.Typer(rich_markup_mode=None)


@app.command(epilog="Examples: cringle verify, cringle verify --only hydro --json")
def verify(
    only: Annotated[
        list[str] | None, typer.Option("--only", help="A topic, such as hydro or rig; may be repeated.")
    ] = None,
    write: Annotated[
        Path | None, typer.Option("--write", help="Also write the page to this Markdown file.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Run every check against published sources and general-purpose libraries."""
    checks = run_outside_checks(only or ())
    if write is not None:
        write_verification_page(checks, write)
    if as_json:
        emit_json({"schema": 1, "checks": [check_as_json(one) for one in checks]})
    else:
        _show(checks)
    if any(one.failed for one in checks):
        raise typer.Exit(1)


def _show(checks: list[OutsideCheck]) -> None:
    print_lines(console(), _lines(checks))


def _lines(checks: list[OutsideCheck]) -> Iterator[str]:
    """Yield each check in a sentence, then those missed and failed once more."""
    for one in checks:
        yield _line(one)
    missed, failed = [one for one in checks if one.missed], [one for one in checks if one.failed]
    yield f"{len(checks)} checks, {len(missed)} facts of the trade missed, {len(failed)} failed"
    yield from (f"  {_line(one)}" for one in (*missed, *failed))


def _line(one: OutsideCheck) -> str:
    memory = ", from memory" if one.from_memory else ""
    word = WORDS[one.result]
    return (
        f"{word} {one.id} {one.what}: {one.got}, expected {one.expected}. {one.source} ({one.kind}{memory})"
    )
