"""``cringle verify``: the proof that the numbers agree with the world outside."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from cringle.cli.common import JsonOption, console, emit_json
from cringle.workflows.verify import OutsideCheck, check_as_json, run_outside_checks, write_verification_page

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
    if not all(one.passed for one in checks):
        raise typer.Exit(1)


def _show(checks: list[OutsideCheck]) -> None:
    table = Table("id", "what", "got", "expected", "kind", "source", "", box=None, pad_edge=False)
    for one in checks:
        source = one.source + (" (from memory)" if one.from_memory else "")
        table.add_row(
            one.id, one.what, one.got, one.expected, one.kind, source, "ok" if one.passed else "FAILED"
        )
    screen = console()
    screen.print(table)
    failed = sum(not one.passed for one in checks)
    screen.print(f"{len(checks)} checks, {failed} failed")
