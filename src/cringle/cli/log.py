"""``cringle log``: read logs into the book, list them, debrief one."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, console, emit_json, find_book
from cringle.cli.log_correct import register as register_correct
from cringle.cli.log_options import (
    AgainstOption,
    BaselineOption,
    DayOption,
    FeltOption,
    MarkOption,
    PdfOption,
    SeaOption,
    SpotterOption,
    StreamOption,
    WindAtOption,
    WindFileOption,
    WindOption,
    day_of,
    marks_of,
    stream_of,
)
from cringle.cli.log_pair import register as register_pair
from cringle.cli.log_simulate import register
from cringle.cli.log_steady import register as register_steady
from cringle.cli.log_text import book_for, show_beside, show_debrief, show_logs, watched
from cringle.track.debrief.as_json import as_json as debrief_json
from cringle.track.reading.options import ReadOptions
from cringle.workflows.afloat.logs import (
    DebriefWishes,
    debrief_beside,
    debrief_days,
    list_logs,
    read_into_book,
    write_report,
    write_report_pdf,
    write_reports,
)
from cringle.workflows.afloat.logs_race import RaceWishes

app = typer.Typer(
    help="Read recorded logs into the book, list them, debrief one.",
    rich_markup_mode=None,
    no_args_is_help=True,
)

DateOption = Annotated[
    str | None, typer.Option("--date", help="Day (UTC) of a log that holds no date, YYYY-MM-DD.")
]
StartTimeOption = Annotated[
    str | None,
    typer.Option(
        "--start-time",
        help="When a CSV that counts elapsed_s began, UTC unless it says: 2026-06-17T17:30:00.",
    ),
]
ColumnOption = Annotated[
    list[str] | None,
    typer.Option("--column", help="A CSV header and the plain name meant, HEADER=NAME; may be repeated."),
]
CsvZoneOption = Annotated[
    str | None, typer.Option("--csv-zone", help="Zone of a CSV's time_local column, such as Europe/London.")
]
WeeksOption = Annotated[
    int, typer.Option("--shift-weeks", help="Weeks to add for a receiver whose week count ran over, 1024.")
]
NoChecksumOption = Annotated[
    bool, typer.Option("--accept-no-checksum", help="Read whole sentences that carry no checksum.")
]
WindHeightOption = Annotated[
    float | None, typer.Option("--wind-height", help="Height of the wind sensor [m]; wind is then at 10 m.")
]


def read_options(
    day: str | None,
    *,
    columns: list[str] | None,
    csv_zone: str | None,
    shift_weeks: int,
    accept_no_checksum: bool,
    wind_height: float | None,
) -> ReadOptions:
    """Return what a person said about a log that the log does not say itself."""
    return ReadOptions(
        date=day_of(day),
        time_zone=csv_zone,
        columns=dict(_pair(one) for one in columns or ()),
        shift_weeks=shift_weeks,
        accept_no_checksum=accept_no_checksum,
        wind_height_m=wind_height,
    )


@app.command(epilog="Example: cringle log read evening.nmea --book demo-book")
def read(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    files: Annotated[list[Path], typer.Argument(help="NMEA 0183, GPX or CSV.")],
    date: DateOption = None,
    start_time: StartTimeOption = None,
    column: ColumnOption = None,
    csv_zone: CsvZoneOption = None,
    shift_weeks: WeeksOption = 0,
    accept_no_checksum: NoChecksumOption = False,
    wind_height: WindHeightOption = None,
    who: WhoOption = DEFAULT_WHO,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Keep logs in the book, byte for byte, and attach them to the outing of their day."""
    options = read_options(
        date,
        columns=column,
        csv_zone=csv_zone,
        shift_weeks=shift_weeks,
        accept_no_checksum=accept_no_checksum,
        wind_height=wind_height,
    )
    options = replace(options, start=start_of(start_time))
    with watched("reading") as progress:
        kept = read_into_book(files, book=find_book(book), who=who, options=options, progress=progress)
    if as_json:
        emit_json({"schema": 1, "logs": [one.to_json() for one in kept]})
    else:
        show_logs(kept, console())


@app.command(name="list", epilog="Example: cringle log list --book demo-book")
def list_(book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the logs kept in the book, earliest first."""
    kept = list_logs(find_book(book))
    if as_json:
        emit_json({"schema": 1, "logs": [one.to_json() for one in kept]})
    else:
        show_logs(kept, console())


@app.command(
    epilog="Examples: cringle log debrief evening.nmea --out report.html · cringle log debrief evening.nmea "
    "--heel phone.csv --heel-target upwind=15 · cringle log debrief evening --book demo-book --json"
)
def debrief(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    log: Annotated[Path, typer.Argument(help="A file; or, with --book, the name of a log kept there.")],
    out: Annotated[Path | None, typer.Option("--out", help="Write the report as one HTML file.")] = None,
    pdf: PdfOption = None,
    day: DayOption = None,
    date: DateOption = None,
    start_time: StartTimeOption = None,
    heel: Annotated[Path | None, typer.Option("--heel", help="Heel record (CSV) to merge by time.")] = None,
    heel_offset: Annotated[
        float, typer.Option("--heel-offset", help="Seconds to add to the heel record's clock.")
    ] = 0.0,
    heel_target: Annotated[
        list[str] | None,
        typer.Option(
            "--heel-target",
            help="Heel to keep within 2 degrees, upwind=15; may be repeated.",
            show_default="the book's",
        ),
    ] = None,
    noted: Annotated[
        Path | None, typer.Option("--noted", help="Manoeuvres noted by hand (CSV), to be shown beside.")
    ] = None,
    boat: Annotated[str | None, typer.Option("--boat", help="Name of the boat on the report.")] = None,
    time_zone: Annotated[
        str | None,
        typer.Option("--time-zone", help="Zone times are shown in.", show_default="the book's, else UTC"),
    ] = None,
    column: ColumnOption = None,
    csv_zone: CsvZoneOption = None,
    shift_weeks: WeeksOption = 0,
    accept_no_checksum: NoChecksumOption = False,
    wind_height: WindHeightOption = None,
    wind: WindOption = None,
    wind_at: WindAtOption = 10.0,
    wind_file: WindFileOption = None,
    stream: StreamOption = None,
    baseline: BaselineOption = "model",
    against: AgainstOption = None,
    felt: FeltOption = None,
    spotter: SpotterOption = None,
    mark: MarkOption = None,
    sea: SeaOption = "chop",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what the data cannot tell, what to keep, change and try, where the time went, what happened."""
    options = read_options(
        date,
        columns=column,
        csv_zone=csv_zone,
        shift_weeks=shift_weeks,
        accept_no_checksum=accept_no_checksum,
        wind_height=wind_height,
    )
    options = replace(options, start=start_of(start_time))
    race = RaceWishes(
        wind, wind_at, wind_file, stream_of(stream), baseline, against, felt, sea, spotter, marks_of(mark)
    )
    wishes = DebriefWishes(
        options,
        heel,
        heel_offset,
        _targets(heel_target),
        time_zone,
        boat,
        race,
        day=day_of(day),
    )
    folder = book_for(log, book)
    with watched("reading") as progress:
        found = debrief_days(log, book=folder, wishes=wishes, progress=progress)
    if out is not None:
        write_reports(found, out, write_report)
    if pdf is not None:
        write_reports(found, pdf, write_report_pdf)
    if as_json:
        emit_json({**debrief_json(found[0]), "other_days": [debrief_json(one) for one in found[1:]]})
        return
    for one in found:
        show_debrief(one, console(), out)
    if noted is not None:
        show_beside(found[0], debrief_beside(found[0], noted), console())


def start_of(text: str | None) -> datetime | None:
    """Return when a CSV that counts seconds began; UTC where no zone is said.

    Raises
    ------
    typer.BadParameter
        It is no time.
    """
    if text is None:
        return None
    try:
        at = datetime.fromisoformat(text)
    except ValueError as error:
        raise typer.BadParameter(f"{text!r} is no time; accepted: 2026-06-17T17:30:00Z") from error
    return at if at.tzinfo else at.replace(tzinfo=UTC)


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not (equals and name.strip() and value.strip()):
        raise typer.BadParameter(f"{text!r}; accepted: NAME=VALUE")
    return name.strip(), value.strip()


def _targets(given: list[str] | None) -> dict[str, float]:
    pairs = [_pair(one) for one in given or ()]
    try:
        return {name: float(value) for name, value in pairs}
    except ValueError as error:
        raise typer.BadParameter("a heel target is a number of degrees, as in upwind=15") from error


register(app)
register_pair(app)
register_correct(app)
register_steady(app)
