"""``cringle season``: one row for each log and leg over a folder, and what goes with what."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from cringle.cli.common import BookOption, JsonOption, console, emit_json, find_book
from cringle.cli.log import CsvZoneOption, DateOption, NoChecksumOption, read_options
from cringle.cli.log_options import BaselineOption, SeaOption, WindOption
from cringle.cli.season_text import show_season
from cringle.workflows.afloat.logs_race import RaceWishes
from cringle.workflows.afloat.season import (
    SeasonAsked,
    Told,
    season,
    tell_nobody,
    write_season_csv,
    write_season_html,
    write_season_pdf,
)

app = typer.Typer(
    help="One row for each log and leg over a folder of logs, with trends.", rich_markup_mode=None
)


@app.command(epilog="Example: cringle season logs --html season.html --out season.csv --book demo-book")
def run(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    folder: Annotated[Path, typer.Argument(help="Folder with logs, at any depth; formats may be mixed.")],
    out: Annotated[Path | None, typer.Option("--out", help="Write the rows as CSV.")] = None,
    html: Annotated[Path | None, typer.Option("--html", help="Write the season as one HTML page.")] = None,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="Write the season as PDF.")] = None,
    date: DateOption = None,
    csv_zone: CsvZoneOption = None,
    accept_no_checksum: NoChecksumOption = False,
    wind: WindOption = None,
    baseline: BaselineOption = "model",
    sea: SeaOption = "chop",
    workers: Annotated[int | None, typer.Option("--workers", min=1, help="Local processes.")] = None,
    cluster: Annotated[
        str | None,
        typer.Option("--cluster", help="Dask scheduler instead of local processes, tcp://HOST:PORT."),
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Read unchanged files again.")] = False,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Debrief every log of a folder; unchanged ones are not read again, and a stopped run goes on."""
    read = read_options(
        date,
        columns=None,
        csv_zone=csv_zone,
        shift_weeks=0,
        accept_no_checksum=accept_no_checksum,
        wind_height=None,
    )
    race = RaceWishes(wind_kn=wind, baseline=baseline, sea=sea)
    own = None if book is None else find_book(book)
    with watched_files() as told:
        found = season(SeasonAsked(folder, own, read, race, workers, cluster, again), told)
    for path, write in ((out, write_season_csv), (html, write_season_html), (pdf, write_season_pdf)):
        if path is not None:
            write(found, path)
    if as_json:
        emit_json(found.to_json())
    else:
        show_season(found, console(), out)


@contextmanager
def watched_files() -> Iterator[Told]:
    """Show a bar of the files done, on a terminal only."""
    if not sys.stderr.isatty():
        yield tell_nobody
        return
    columns = (TextColumn("logs"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("logs", total=None)
        yield lambda done, total, _: bar.update(task, completed=done, total=total)
