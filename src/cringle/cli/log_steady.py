"""``cringle log steady``: steady stretches of a log, for a fit of the speed model and for trials."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from cringle.cli.common import BookOption, JsonOption, console, emit_json
from cringle.workflows.afloat.logs_race import RaceWishes
from cringle.workflows.afloat.steady import SteadyFound, steady_of_log, write_steady


def register(app: typer.Typer) -> None:
    """Add the command to the log group."""
    app.command("steady", epilog="Example: cringle log steady evening.nmea --wind 11 --out steady.csv")(
        steady
    )


def steady(
    log: Annotated[Path, typer.Argument(help="A file.")],
    out: Annotated[
        Path | None, typer.Option("--out", help="Write them as CSV, for: cringle speed fit.")
    ] = None,
    wind: Annotated[float | None, typer.Option("--wind", help="True wind speed noted [kn].")] = None,
    wind_file: Annotated[
        Path | None, typer.Option("--wind-file", help="Wind over time (CSV: time,tws_kn).")
    ] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find stretches of steady sailing, and how their speeds lie over the polar."""
    found = steady_of_log(log, book=book, wishes=RaceWishes(wind_kn=wind, wind_csv=wind_file))
    if out is not None:
        write_steady(found, out)
    if as_json:
        emit_json(found.to_json())
        return
    screen = console()
    screen.print(table_of(found))
    screen.print(f"{len(found.stretches)} stretches; wind: {found.wind_source}", markup=False)


def table_of(found: SteadyFound) -> Table:
    """Return speeds over the polar, one row for each kind of leg."""
    table = Table(
        "leg", "stretches", "speed over polar: low", "middle", "high", "own best tenth [kn]", box=None
    )
    for one in found.over:
        shares = (f"{value:.2f}" for value in (one.p10, one.p50, one.p90))
        table.add_row(one.kind, str(one.stretches), *shares, f"{one.best_tenth_kn:.1f}")
    return table
