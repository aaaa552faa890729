"""Options that several ``cringle rig`` commands share, and what is made of their text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated

import typer

from cringle.rig.choose import Forecast, forecast_of
from cringle.rig.inverse import Target
from cringle.workflows.rig.book import DEFAULT_WINDS_KN

Cap = Annotated[float | None, typer.Option("--cap", help="Turns of both cap shroud screws from base.")]
Lower = Annotated[float | None, typer.Option("--lower", help="Turns of both lower shroud screws from base.")]
Forestay = Annotated[float | None, typer.Option("--forestay", help="Turns of the forestay screw from base.")]
Screws = Annotated[list[str] | None, typer.Option("--screw", help="One screw, ID=TURNS; may be repeated.")]
WindOption = Annotated[float, typer.Option("--wind", help="True wind at 10 m [kn]; 0 is the dock.")]
WindsOption = Annotated[
    str | None, typer.Option("--winds", help="Rows, comma between [kn].", show_default="4 to 24")
]
SheetSource = Annotated[str, typer.Option("--source", help="book: the table's turns; model: computed ones.")]
OutOption = Annotated[Path | None, typer.Option("--out", help="Picture to write, .svg or .png.")]
BackstayPull = Annotated[
    float | None,
    typer.Option("--backstay-pull", help="Puller from the top [mm].", show_default="the table's"),
]


def number(text: str, what: str) -> float:
    """Return a number from text."""
    try:
        return float(text)
    except ValueError as error:
        raise typer.BadParameter(f"{text!r} is no number for {what}") from error


def numbers(text: str | None) -> Sequence[float]:
    """Return numbers from a text with commas; the default rows when there is none."""
    if text is None:
        return DEFAULT_WINDS_KN
    return [number(one, "a list with commas") for one in text.split(",") if one.strip()]


def pairs(texts: Sequence[str] | None, form: str) -> dict[str, float]:
    """Return names and numbers from texts like ``NAME=VALUE``."""
    found = {}
    for one in texts or ():
        name, equals, value = one.partition("=")
        if not equals or not name.strip():
            raise typer.BadParameter(f"{one!r}; accepted: {form}")
        found[name.strip()] = number(value, name)
    return found


def wires_from(texts: Sequence[str] | None) -> dict[str, float]:
    """Return wire tensions from texts like ``cap=2600``. [N]."""
    return pairs(texts, "WIRE=NEWTONS, such as cap=2600")


def asked_turns(
    cap: float | None, lower: float | None, forestay: float | None, screws: Sequence[str] | None
) -> dict[str, float]:
    """Return turns by role and by screw; what was not asked for stays at base."""
    by_role = {"cap_shrouds": cap, "lower_shrouds": lower, "forestay": forestay}
    given = {role: value for role, value in by_role.items() if value is not None}
    return {**given, **pairs(screws, "ID=TURNS, such as cap_port=0.5")}


def targets_from(
    asked: Mapping[str, float | None], sag: float | None, sag_change: float | None, want: Sequence[str] | None
) -> tuple[Target, ...]:
    """Return targets from options; a pair of shrouds is asked for on its port side."""
    names = {
        "cap": "cap_port_n",
        "lower": "lower_port_n",
        "forestay": "forestay_n",
        "prebend": "prebend_mm",
        "rake": "rake_mm",
    }
    found = [Target(names[name], value) for name, value in asked.items() if value is not None]
    found += [
        Target(name, value) for name, value in pairs(want, "NAME=VALUE, such as cap_port_n=3000").items()
    ]
    if sag is not None:
        found.append(Target("sag_mm", sag, sailing=True))
    if sag_change is not None:
        found.append(Target("sag_mm", sag_change, sailing=True, kind="change"))
    if not found:
        raise typer.BadParameter("say what you want: --cap-tension, --prebend, --sag, --sag-change ...")
    return tuple(found)


def forecast_from(low: float | None, high: float | None, percentiles: Sequence[str] | None) -> Forecast:
    """Return a forecast from a range (5 to 95 %) or from percentiles."""
    shares = {
        0.01 * number(one, "a percentile"): wind for one, wind in pairs(percentiles, "PERCENT=KNOTS").items()
    }
    if low is not None:
        shares[0.05] = low
    if high is not None:
        shares[0.95] = high
    if not shares:
        raise typer.BadParameter("give --low and --high, or --percentile PERCENT=KNOTS")
    return forecast_of(shares)


def gauge_from(
    span_mm: float | None, deflection_mm: float | None, force_n: float | None
) -> tuple[float, float, float] | None:
    """Return a gauge's reading, or None when nothing of it was given."""
    if span_mm is None and deflection_mm is None and force_n is None:
        return None
    if span_mm is None or deflection_mm is None or force_n is None:
        raise typer.BadParameter("a gauge reading needs --span, --deflection and --force")
    return span_mm, deflection_mm, force_n


def swing_from(cycles: float | None, seconds: float | None) -> tuple[float, float] | None:
    """Return counted swings, or None when nothing of them was given."""
    if cycles is None and seconds is None:
        return None
    if cycles is None or seconds is None:
        raise typer.BadParameter("counted swings need --cycles and --seconds")
    return cycles, seconds
