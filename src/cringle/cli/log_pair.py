"""``cringle log pair``: two logs of one race side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import BookOption, JsonOption, console, emit_json
from cringle.cli.log_options import (
    PairDayOption,
    SeaOption,
    StreamOption,
    WindAtOption,
    WindFileOption,
    WindOption,
    day_of,
    stream_of,
)
from cringle.cli.log_text import book_for, watched
from cringle.output.report_pair import pair_sentences
from cringle.track.debrief.as_json import rounded
from cringle.workflows.afloat.logs import DebriefWishes
from cringle.workflows.afloat.logs_race import RaceWishes
from cringle.workflows.afloat.pair import compare_logs, write_pair_report


def register(app: typer.Typer) -> None:
    """Add the command to the log group."""
    app.command("pair", epilog="Example: cringle log pair brindle.nmea sorrel.nmea --out pair.html")(pair)


def pair(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    first: Annotated[Path, typer.Argument(help="A file; or the name of a log kept in the book.")],
    second: Annotated[Path, typer.Argument(help="The boat it is held against.")],
    out: Annotated[Path | None, typer.Option("--out", help="Write the comparison as one HTML file.")] = None,
    day: PairDayOption = None,
    wind: WindOption = None,
    wind_at: WindAtOption = 10.0,
    wind_file: WindFileOption = None,
    stream: StreamOption = None,
    sea: SeaOption = "chop",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Compare two boats on the same leg: gain a minute, by height and by speed, and at which manoeuvre."""
    race = RaceWishes(wind, wind_at, wind_file, stream_of(stream), sea=sea)
    wishes = DebriefWishes(race=race, day=day_of(day))
    with watched("reading") as progress:
        found = compare_logs((first, second), book=book_for(first, book), wishes=wishes, progress=progress)
    if out is not None:
        write_pair_report(found, out)
    if as_json:
        emit_json(rounded(found.to_json()))
        return
    screen = console()
    for sentence in pair_sentences(found):
        screen.print(sentence, markup=False)
