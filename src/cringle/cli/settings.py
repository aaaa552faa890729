"""``cringle settings``: the settings table, its numbers, moves, and CSV in and out."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import (
    DEFAULT_WHO,
    BookOption,
    JsonOption,
    WhoOption,
    WhyOption,
    book_for_advice,
    emit_json,
    find_book,
)
from cringle.cli.settings_marks import register
from cringle.cli.settings_text import (
    SOURCES,
    advice_json,
    done_json,
    done_text,
    imported_text,
    moves_json,
    moves_text,
    pair_text,
    table_json,
    table_text,
)
from cringle.cli.today import AboardOption, SailSetOption, SeaOption, names
from cringle.findings import Source
from cringle.settings.instants import mark_of
from cringle.settings.moves import PREFERRED_GEAR
from cringle.settings.names import known_name
from cringle.settings.table import DEFAULT_SEA
from cringle.workflows.numbers.csv import export_csv, export_files, import_csv
from cringle.workflows.numbers.settings import (
    MovesAsked,
    PairMoved,
    SettingChange,
    list_moves,
    pair_advice,
    set_number,
    show_table,
)

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)

GearOption = Annotated[
    str | None,
    typer.Option("--gear", help="build, settled, or a technique such as soak.", show_default="all"),
]
AsOfOption = Annotated[
    str | None, typer.Option("--as-of", help="An earlier table: 2026-05-14, 2026-05-14T18:30 or #812.")
]


@app.command(
    epilog="Examples: cringle settings show · cringle settings show --sail-set main+kite --as-of 2026-05-14"
)
def show(
    sail_set: SailSetOption = None,
    sea: SeaOption = DEFAULT_SEA,
    gear: GearOption = None,
    as_of: AsOfOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show the table of a sail set with where each number comes from."""
    view = show_table(find_book(book), sail_set=sail_set, sea=sea, gear=gear, as_of=as_of)
    if as_json:
        emit_json(table_json(view))
    else:
        typer.echo(table_text(view), nl=False)


@app.command(
    "set",
    context_settings={"ignore_unknown_options": True},
    epilog="Examples: cringle settings set jib_sheet_leeward 4½ --wind 10 --why 'higher and as fast' · "
    "cringle settings set traveller -2 --wind 16 --gear build",
)
def set_(  # noqa: PLR0913, PLR0917 - one parameter an option
    role: Annotated[str, typer.Argument(help="Role, such as jib_sheet_leeward.")],
    value: Annotated[str, typer.Argument(help="Number on its scale: 4, 4.5 or 4½.")],
    wind: Annotated[float, typer.Option("--wind", help="Wind of the row [kn].")],
    gear: Annotated[str, typer.Option("--gear", help="build, settled, or a technique.")] = PREFERRED_GEAR,
    sail_set: SailSetOption = None,
    sea: SeaOption = DEFAULT_SEA,
    source: Annotated[
        str, typer.Option("--source", help="guess, entered, measured, computed, trial.")
    ] = "entered",
    base_id: Annotated[
        int | None,
        typer.Option("--base-id", help="Entry you had seen; refused when it is no longer the newest."),
    ] = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "set by hand",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write one number into the table; the earlier one stays in the history."""
    change = SettingChange(
        role=role,
        wind_kn=wind,
        value=mark_of(value),
        gear=gear,
        sail_set=sail_set,
        sea=sea,
        source=Source(known_name(source, SOURCES, what="source")),
        base_id=base_id,
    )
    done = set_number(find_book(book), change, who=who, why=why)
    if as_json:
        emit_json(done_json(done))
    else:
        typer.echo(done_text(done), nl=False)


@app.command(epilog="Example: cringle settings moves --from 10 --to 14")
def moves(  # noqa: PLR0913, PLR0917 - one parameter an option
    from_wind: Annotated[float, typer.Option("--from", help="Wind now [kn].")],
    to_wind: Annotated[float, typer.Option("--to", help="Wind then [kn].")],
    sail_set: SailSetOption = None,
    sea: SeaOption = DEFAULT_SEA,
    gear: GearOption = None,
    aboard: AboardOption = "",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say who does what when the wind goes from one strength to another."""
    asked = MovesAsked(from_wind, to_wind, sail_set=sail_set, sea=sea, gear=gear, aboard=names(aboard))
    found = list_moves(book_for_advice(book), asked)
    if as_json:
        emit_json(moves_json(found))
    else:
        typer.echo(moves_text(found), nl=False)


@app.command(
    context_settings={"ignore_unknown_options": True},
    epilog="Examples: cringle settings pair jib_sheet_leeward 3 4 --other 8 · "
    "cringle settings pair cap_port 0 1 --other 0",
)
def pair(
    line: Annotated[str, typer.Argument(help="Role, line or screw that was moved.")],
    before: Annotated[str, typer.Argument(help="Its number before.")],
    after: Annotated[str, typer.Argument(help="Its number now.")],
    other: Annotated[str, typer.Option("--other", help="Where the other of the pair stands.")],
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what the other of a pair should do; the table is not changed."""
    moved = PairMoved(line, mark_of(before), mark_of(after), mark_of(other))
    advice = pair_advice(book_for_advice(book), moved)
    if as_json:
        emit_json({"schema": 1, **advice_json(advice)})
    else:
        typer.echo(pair_text(advice), nl=False)


@app.command("import", epilog="Example: cringle settings import table.csv --cues cues.csv")
def import_(
    table: Annotated[Path | None, typer.Argument(help="CSV of numbers.")] = None,
    cues: Annotated[
        Path | None, typer.Option("--cues", help="CSV of postures, heel targets and cues.")
    ] = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "import",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Take a table, its cues, or both from CSV; the same file a second time changes nothing."""
    if table is None and cues is None:
        raise typer.BadParameter("name a table.csv, or --cues cues.csv, or both")
    done = import_csv(find_book(book), table, cues, who=who, why=why)
    if as_json:
        emit_json({"schema": 1, **vars(done)})
    else:
        typer.echo(imported_text(done), nl=False)


@app.command(epilog="Example: cringle settings export --out table.csv --cues cues.csv")
def export(
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write.", show_default="the screen")
    ] = None,
    cues: Annotated[Path | None, typer.Option("--cues", help="Also write the cues to this file.")] = None,
    as_of: AsOfOption = None,
    book: BookOption = None,
) -> None:
    """Give out the whole table as CSV, now or as it stood earlier."""
    if out is None and cues is not None:
        raise typer.BadParameter("--cues needs --out as well")
    if out is None:
        typer.echo(export_csv(find_book(book), as_of=as_of)[0], nl=False)
        return
    for path in export_files(find_book(book), out, cues, as_of=as_of):
        typer.echo(f"written: {path}")


register(app)
