"""Options of the log commands about the race inside a log."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from cringle.track.race.correction import KINDS

MARKS = KINDS["rounding"]

WindOption = Annotated[
    float | None,
    typer.Option("--wind", help="True wind speed [kn] that was noted, for a log without a wind instrument."),
]
WindAtOption = Annotated[float, typer.Option("--wind-at", help="Height at which that wind was read [m].")]
WindFileOption = Annotated[
    Path | None,
    typer.Option(
        "--wind-file", help="Wind over time (CSV: time,tws_kn) from a second place, a committee boat."
    ),
]
StreamOption = Annotated[
    str | None, typer.Option("--stream", help="The water's own motion, KNOTS@DEGREES it sets to: 0.8@270.")
]
BaselineOption = Annotated[
    str,
    typer.Option("--baseline", help="What time is lost against: model, fitted, own (your best tenth), boat."),
]
AgainstOption = Annotated[
    Path | None, typer.Option("--against", help="Log of the boat to be held against; means --baseline boat.")
]
FeltOption = Annotated[
    Path | None, typer.Option("--felt", help="What people said the heel was (CSV: time,who,heel_deg).")
]
SpotterOption = Annotated[
    Path | None,
    typer.Option(
        "--spotter", help="Heel read now and then, to leeward (CSV: time,heel_deg; times as 18:35 or ISO)."
    ),
]
MarkOption = Annotated[
    list[str] | None,
    typer.Option(
        "--mark",
        help="Where a mark lay, windward=LAT,LON in degrees; also offset, leeward; may be repeated.",
    ),
]
SeaOption = Annotated[str, typer.Option("--sea", help="flat, chop or waves.")]
DayOption = Annotated[
    str | None,
    typer.Option("--day", help="Local date, of a log that holds several days.", show_default="all"),
]
PairDayOption = Annotated[
    str | None,
    typer.Option("--day", help="Local date, of logs that hold several days.", show_default="the longest"),
]
PdfOption = Annotated[Path | None, typer.Option("--pdf", help="Write the report as PDF.")]


def day_of(text: str | None) -> date | None:
    """Return a local date as it is typed.

    Raises
    ------
    typer.BadParameter
        It is no date.
    """
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise typer.BadParameter(f"{text!r} is no date; accepted: 2026-06-17") from error


def stream_of(text: str | None) -> tuple[float, float] | None:
    """Return speed and direction of a stream as it is typed.

    Raises
    ------
    typer.BadParameter
        It is not of the form KNOTS@DEGREES.
    """
    if text is None:
        return None
    speed, at, toward = text.partition("@")
    try:
        if not at:
            raise ValueError(text)
        return float(speed), float(toward)
    except ValueError as error:
        raise typer.BadParameter(f"{text!r}; accepted: KNOTS@DEGREES, such as 0.8@270") from error


def marks_of(texts: list[str] | None) -> dict[str, tuple[float, float]]:
    """Return marks with their positions as they are typed.

    Raises
    ------
    typer.BadParameter
        One is not of the form MARK=LAT,LON.
    """
    found = {}
    for text in texts or ():
        name, _, place = text.partition("=")
        lat, _, lon = place.partition(",")
        if name not in MARKS:
            raise typer.BadParameter(f"{text!r} names no mark; accepted: {', '.join(MARKS)}")
        try:
            found[name] = (float(lat), float(lon))
        except ValueError as error:
            raise typer.BadParameter(
                f"{text!r}; accepted: {name}=LAT,LON, such as 54.2031,-5.0012"
            ) from error
    return found
