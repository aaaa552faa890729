"""``cringle plan``: the season on one page."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import BookOption, JsonOption, book_for_advice, emit_json
from cringle.cli.text_rule import WIDTH
from cringle.output.sheet import sheet_lines
from cringle.workflows.numbers.display import shown
from cringle.workflows.round.plan import plan_json, plan_sheet, season_plan
from cringle.workflows.round.sheet import write_home

app = typer.Typer(rich_markup_mode=None)


@app.command(epilog="Examples: cringle plan · cringle plan --out plan.pdf · cringle plan --json")
def plan(
    out: Annotated[list[Path] | None, typer.Option("--out", help="Write it as .pdf or .html.")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what the season needs: drills by cost, goals, sails' hours, open actions, minutes of pairing."""
    folder = book_for_advice(book)
    found = season_plan(folder)
    sheet = plan_sheet(found)
    for path in out or ():
        write_home(sheet, path, datetime.now(UTC))
    if as_json:
        emit_json(plan_json(found))
    else:
        print_wrapped(shown(folder, sheet_lines(sheet)))


def print_wrapped(lines: Iterable[str]) -> None:
    """Print lines no wider than the page."""
    for line in lines:
        typer.echo(textwrap.fill(line, WIDTH, subsequent_indent="  ", break_on_hyphens=False))
