"""``cringle tonight``: what a crew reads at the dock, half an hour before, in a minute."""

from __future__ import annotations

from typing import Annotated

import typer

from cringle.cli.common import BookOption, JsonOption, emit_json, find_book
from cringle.cli.today import AboardOption, SailSetOption, SeaOption, WindOption, names, tell
from cringle.cli.tonight_text import dock_text
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA
from cringle.workflows.numbers.display import shown
from cringle.workflows.round.dock import dock, dock_json

app = typer.Typer(rich_markup_mode=None)

EPILOG = "Examples: cringle tonight --wind 11 · cringle tonight --low 9 --high 13 --gust 15 --sea flat"


@app.command(epilog=EPILOG)
def tonight(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: WindOption = None,
    low: Annotated[float | None, typer.Option("--low", help="Lower end of the range [kn].")] = None,
    high: Annotated[float | None, typer.Option("--high", help="Upper end of the range [kn].")] = None,
    gust: Annotated[float | None, typer.Option("--gust", help="Gust [kn].")] = None,
    height: Annotated[
        float | None,
        typer.Option("--height", help="Height where it was measured [m].", show_default="the table's height"),
    ] = None,
    sea: SeaOption = DEFAULT_SEA,
    sail_set: SailSetOption = None,
    aboard: AboardOption = "",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say at the dock what to do, in order: rig, numbers, heel, run, moves, goal, check."""
    folder = find_book(book)
    request = TonightRequest(wind, low, high, gust, height, sea, sail_set, names(aboard))
    found = dock(folder, request, tell=tell)
    if as_json:
        emit_json(dock_json(found))
    else:
        typer.echo("\n".join(shown(folder, dock_text(found).splitlines())))
