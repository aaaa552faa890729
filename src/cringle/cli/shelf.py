"""``cringle shelf``: several books side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, JsonOption, WhoOption, emit_json
from cringle.cli.today import SailSetOption, SeaOption
from cringle.output.wording import mark_text, role_text, shortened
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA
from cringle.workflows.round.shelf import Compared, compared_json, shelf_compare, shelf_list, shelf_share

app = typer.Typer(help="Several books side by side.", no_args_is_help=True, rich_markup_mode=None)

ShelfOption = Annotated[Path, typer.Option("--shelf", help="Folder with the books.")]
BooksArgument = Annotated[list[str] | None, typer.Argument(help="Names of books.", show_default="all")]
NAME_WIDTH, CELL_WIDTH = 22, 16


@app.command("list", epilog="Example: cringle shelf list --shelf boats")
def list_(shelf: ShelfOption = Path(), as_json: JsonOption = False) -> None:
    """List the books of a shelf, and whether they have the shared class file and plays."""
    found = shelf_list(shelf)
    if as_json:
        emit_json({"schema": 1, "books": [asdict(one) for one in found]})
        return
    for one in found:
        trouble = f"  {one.trouble}" if one.trouble else ""
        typer.echo(f"{one.name:<16} {one.boat:<16} class {one.class_file:<8} plays {one.plays}{trouble}")


@app.command(epilog="Example: cringle shelf compare --wind 10 --shelf boats")
def compare(  # noqa: PLR0913, PLR0917 - one parameter an option
    books: BooksArgument = None,
    wind: Annotated[float | None, typer.Option("--wind", help="Wind [kn].")] = None,
    sea: SeaOption = DEFAULT_SEA,
    sail_set: SailSetOption = None,
    gear: Annotated[str, typer.Option("--gear", help="Gear or technique.")] = "settled",
    shelf: ShelfOption = Path(),
    as_json: JsonOption = False,
) -> None:
    """Compare the start numbers of several boats, in marks and in mm of line from the datum."""
    request = TonightRequest(wind_kn=wind, sea=sea, sail_set=sail_set)
    rows = shelf_compare(shelf, request, gear=gear, books=books or ())
    if as_json:
        emit_json(compared_json(rows))
    else:
        typer.echo("\n".join(compared_lines(rows)))


def compared_lines(rows: Sequence[Compared]) -> Iterator[str]:
    """Yield the comparison, a role a line; where boats differ their spread in mm."""
    if not rows:
        yield "no numbers for this gear in this wind"
        return
    heads = "".join(f"{shortened(name, CELL_WIDTH - 1):<{CELL_WIDTH}}" for name in rows[0].marks)
    yield f"{'':<{NAME_WIDTH}}{heads}apart"
    for one in rows:
        cells = "".join(
            f"{_cell(one.marks[name], one.distance_mm[name]):<{CELL_WIDTH}}" for name in one.marks
        )
        spread = "–" if one.spread_mm is None else f"{one.spread_mm:.0f} mm"
        yield f"{shortened(role_text(one.role), NAME_WIDTH - 1):<{NAME_WIDTH}}{cells}{spread}"


def _cell(mark: float | None, distance_mm: float | None) -> str:
    if mark is None:
        return "–"
    return mark_text(mark) if distance_mm is None else f"{mark_text(mark)} = {distance_mm:.0f} mm"


@app.command(epilog="Examples: cringle shelf share class --shelf boats · cringle shelf share tack --take")
def share(
    what: Annotated[str, typer.Argument(help="class, or the id of a play.")],
    books: BooksArgument = None,
    take: Annotated[
        bool, typer.Option("--take", help="Take it over; without it the change is shown.")
    ] = False,
    shelf: ShelfOption = Path(),
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Show what a shared class file or play would change in each book, and take it over when asked."""
    found = shelf_share(shelf, what, who=who, take=take, books=books or ())
    if as_json:
        emit_json({"schema": 1, "shares": [asdict(one) for one in found]})
        return
    for one in found:
        state = "taken over" if one.taken else ("would change" if one.lines else "the same already")
        typer.echo("\n".join([f"{one.book}: {one.file} {state}", *one.lines]))
