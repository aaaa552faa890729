"""``cringle rig``: turns to tensions, prebend and sag; the tune sheet; the backstay; measuring; loads."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from cringle.cli import rig_text as text
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
from cringle.cli.lines import print_answer
from cringle.cli.rig_options import (
    BackstayPull,
    Cap,
    Forestay,
    Lower,
    OutOption,
    Screws,
    SheetSource,
    WindOption,
    WindsOption,
    asked_turns,
    forecast_from,
    gauge_from,
    numbers,
    pairs,
    swing_from,
    targets_from,
    wires_from,
)

app = typer.Typer(
    help="Turns to tensions, prebend and sag; the backstay; loads.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


def show(
    found: Any, as_json: bool, to_json: Callable[[Any], dict[str, Any]], to_text: Callable[[Any], list[str]]
) -> None:
    """Print an answer as JSON or as text."""
    if as_json:
        emit_json(to_json(found))
    else:
        print_answer(to_text(found))


@app.command(
    epilog="Examples: cringle rig base · cringle rig base --set cap=2600 --set lower=400 --prebend 25"
)
def base(  # noqa: PLR0913, PLR0917 - one parameter an option
    set_tension: Annotated[
        list[str] | None, typer.Option("--set", help="Measured base tension, WIRE=NEWTONS; may be repeated.")
    ] = None,
    prebend: Annotated[float | None, typer.Option("--prebend", help="Measured prebend [mm].")] = None,
    rake: Annotated[float | None, typer.Option("--rake", help="Masthead aft of the mast foot [mm].")] = None,
    temperature: Annotated[float | None, typer.Option("--temperature", help="Air temperature [C].")] = None,
    wind: Annotated[float | None, typer.Option("--wind", help="Wind while measuring [kn].")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
) -> None:
    """Show the base tune that turns are counted from, or write a measured one into the book."""
    from cringle.workflows.rig.as_json import base_json
    from cringle.workflows.rig.record import BaseMeasured, record_base
    from cringle.workflows.rig.rig import rig_base

    folder = find_book(book)
    if set_tension or prebend is not None or rake is not None:
        measured = BaseMeasured(wires_from(set_tension), prebend, rake, temperature, wind)
        found = record_base(folder, measured, who=who, why=why)
    else:
        found = rig_base(folder)
    show(found, as_json, base_json, text.base_text)


@app.command(epilog="Example: cringle rig turns --cap 1 --lower 0.5 --json")
def turns(  # noqa: PLR0913, PLR0917 - one parameter an option
    cap: Cap = None,
    lower: Lower = None,
    forestay: Forestay = None,
    screw: Screws = None,
    wind: WindOption = 10.0,
    backstay_pull: BackstayPull = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write these turns into the book.")] = False,
    book: BookOption = None,
    as_json: JsonOption = False,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
) -> None:
    """Say what turns from base do: every tension, prebend, rake, and the sag in a wind."""
    from cringle.workflows.rig.as_json import turns_json
    from cringle.workflows.rig.record import record_turns
    from cringle.workflows.rig.rig import rig_turns

    folder, asked = book_for_advice(book), asked_turns(cap, lower, forestay, screw)
    found = rig_turns(folder, asked, wind_kn=wind, pull_mm=backstay_pull)
    if keep:
        record_turns(folder, asked, who=who, why=why)
    show(found, as_json, turns_json, text.turns_text)


@app.command(
    epilog="Examples: cringle rig solve --cap-tension 3000 --prebend 30 "
    "· cringle rig solve --sag-change -20 --wind 14"
)
def solve(  # noqa: PLR0913, PLR0917 - one parameter an option
    cap_tension: Annotated[
        float | None, typer.Option("--cap-tension", help="Wanted on the dock [N].")
    ] = None,
    lower_tension: Annotated[
        float | None, typer.Option("--lower-tension", help="Wanted on the dock [N].")
    ] = None,
    forestay_tension: Annotated[
        float | None, typer.Option("--forestay-tension", help="Wanted on the dock [N].")
    ] = None,
    prebend: Annotated[float | None, typer.Option("--prebend", help="Wanted on the dock [mm].")] = None,
    rake: Annotated[float | None, typer.Option("--rake", help="Wanted on the dock [mm].")] = None,
    sag: Annotated[float | None, typer.Option("--sag", help="Wanted in the wind [mm].")] = None,
    sag_change: Annotated[
        float | None, typer.Option("--sag-change", help="Change from base in the wind [mm].")
    ] = None,
    want: Annotated[
        list[str] | None, typer.Option("--want", help="Any quantity, NAME=VALUE, on the dock.")
    ] = None,
    role: Annotated[
        list[str] | None, typer.Option("--role", help="Screws that may turn; may be repeated.")
    ] = None,
    step: Annotated[
        float | None, typer.Option("--step", help="Smallest turn.", show_default="the screw's own")
    ] = None,
    wind: WindOption = 10.0,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the turns that come nearest to what you want, in whole steps, with an interval."""
    from cringle.workflows.rig.as_json import solve_json
    from cringle.workflows.rig.rig import SolveRequest, rig_solve

    asked = {
        "cap": cap_tension,
        "lower": lower_tension,
        "forestay": forestay_tension,
        "prebend": prebend,
        "rake": rake,
    }
    targets = targets_from(asked, sag, sag_change, want)
    request = SolveRequest(targets, tuple(role) if role else None, step, wind)
    show(rig_solve(book_for_advice(book), request), as_json, solve_json, text.solve_text)


@app.command(
    epilog="Examples: cringle rig sheet · cringle rig sheet --source model --pdf tune.pdf --out tune.svg"
)
def sheet(  # noqa: PLR0913, PLR0917 - one parameter an option
    winds: WindsOption = None,
    source: SheetSource = "book",
    sea: Annotated[str, typer.Option("--sea", help="flat, chop or waves: rows of the table.")] = "chop",
    pdf: Annotated[Path | None, typer.Option("--pdf", help="Write the tune sheet as a PDF.")] = None,
    out: OutOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show the tune sheet: turns from base by wind, with tension, prebend and sag."""
    from cringle.workflows.rig.as_json import sheet_json
    from cringle.workflows.rig.print import print_sheet
    from cringle.workflows.rig.rig import rig_sheet

    found = rig_sheet(book_for_advice(book), winds_kn=numbers(winds), source=source, sea=sea)
    written = print_sheet(found, pdf=pdf, picture=out)
    show(found, as_json, sheet_json, text.sheet_text)
    tell(written, as_json)


def tell(written: list[Path], as_json: bool) -> None:
    """Say what was written; in JSON mode on the error stream, so that the document stays whole."""
    for path in written:
        typer.echo(f"written: {path}", err=as_json)


@app.command(
    epilog="Examples: cringle rig choose --low 9 --high 15 "
    "· cringle rig choose --percentile 10=8 --percentile 90=16"
)
def choose(  # noqa: PLR0913, PLR0917 - one parameter an option
    low: Annotated[float | None, typer.Option("--low", help="Lower end of the forecast [kn].")] = None,
    high: Annotated[float | None, typer.Option("--high", help="Upper end of the forecast [kn].")] = None,
    percentile: Annotated[
        list[str] | None, typer.Option("--percentile", help="PERCENT=KNOTS; may be repeated.")
    ] = None,
    sag_cost: Annotated[
        float | None, typer.Option("--sag-cost", help="Cost of 20 mm of sag [s/mile].")
    ] = None,
    bend_cost: Annotated[
        float | None, typer.Option("--bend-cost", help="Cost of 10 mm of bend [s/mile].")
    ] = None,
    losses: Annotated[
        Path | None, typer.Option("--losses", help="Your own CSV: row_kn,wind_kn,loss_s_per_mile.")
    ] = None,
    winds: WindsOption = None,
    source: SheetSource = "book",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Choose the turns for a forecast that is a range: least expected loss, and by how much."""
    from cringle.workflows.rig.as_json import choose_json
    from cringle.workflows.rig.choose import costs_of, rig_choose

    found = rig_choose(
        book_for_advice(book),
        forecast_from(low, high, percentile),
        winds_kn=numbers(winds),
        source=source,
        costs=costs_of(sag_cost, bend_cost),
        loss_table=losses,
    )
    show(found, as_json, choose_json, text.choose_text)


@app.command(
    epilog="Examples: cringle rig backstay --wind 12 --json "
    "· cringle rig backstay --top-load 1400 --out backstay.svg"
)
def backstay(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: WindOption = 10.0,
    top_load: Annotated[
        float | None, typer.Option("--top-load", help="Usual top load of the day [N].")
    ] = None,
    shorter: Annotated[
        str, typer.Option("--shorter", help="Upper leg shorter by, comma between [m].")
    ] = "0.9,1.2",
    points: Annotated[int, typer.Option("--points", min=3, max=101, help="Rows of the table.")] = 11,
    out: OutOption = None,
    geometry: Annotated[
        Path | None, typer.Option("--geometry", help="Picture of the geometry, .svg or .png.")
    ] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show what the backstay's travel does, where each wind sits, and what its lengths should be."""
    from cringle.workflows.rig.as_json import backstay_json
    from cringle.workflows.rig.backstay import BackstayRequest, rig_backstay
    from cringle.workflows.rig.print import print_backstay

    request = BackstayRequest(wind, top_load_n=top_load, points=points, shorter_m=tuple(numbers(shorter)))
    found = rig_backstay(book_for_advice(book), request)
    written = print_backstay(found, travel=out, geometry=geometry)
    show(found, as_json, backstay_json, text.backstay_text)
    tell(written, as_json)


@app.command(
    epilog="Example: cringle rig loads --winds 10,14,20 --factor 1.5 --factor-source 'our rigger, 2026'"
)
def loads(
    winds: Annotated[str, typer.Option("--winds", help="Winds, comma between [kn].")] = "10,14,18,24",
    factor: Annotated[float | None, typer.Option("--factor", help="Peak over working load.")] = None,
    factor_source: Annotated[str, typer.Option("--factor-source", help="Where the factor comes from.")] = "",
    breaks: Annotated[
        list[str] | None, typer.Option("--break", help="A line's break load, PART=NEWTONS; may be repeated.")
    ] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show working loads against break loads, with the margin and where the factor comes from."""
    from cringle.workflows.rig.as_json import loads_json
    from cringle.workflows.rig.backstay import design_factor, rig_loads

    found = rig_loads(
        find_book(book),
        winds_kn=numbers(winds),
        factor=design_factor(factor, factor_source),
        line_breaks_n=pairs(breaks, "PART=NEWTONS, such as main_sheet=9000"),
    )
    show(found, as_json, loads_json, text.loads_text)


@app.command(
    epilog="Examples: cringle rig measure forestay --cycles 30 --seconds 4.1 "
    "· cringle rig measure cap_port --wav cap.wav "
    "· cringle rig measure cap_port --span 300 --deflection 5 --force 170 --keep"
)
def measure(  # noqa: PLR0913, PLR0917 - one parameter an option
    wire: Annotated[str, typer.Argument(help="cap_port, lower_starboard, forestay ...")],
    span: Annotated[float | None, typer.Option("--span", help="Gauge: between outer supports [mm].")] = None,
    deflection: Annotated[
        float | None, typer.Option("--deflection", help="Gauge: push in the middle [mm].")
    ] = None,
    force: Annotated[float | None, typer.Option("--force", help="Gauge: force in the middle [N].")] = None,
    cycles: Annotated[float | None, typer.Option("--cycles", help="Counted swings.")] = None,
    seconds: Annotated[float | None, typer.Option("--seconds", help="In this time [s].")] = None,
    wav: Annotated[Path | None, typer.Option("--wav", help="Recording of the plucked wire.")] = None,
    motion: Annotated[Path | None, typer.Option("--motion", help="CSV of a phone taped to the wire.")] = None,
    tension: Annotated[float | None, typer.Option("--tension", help="Read elsewhere [N].")] = None,
    length: Annotated[float | None, typer.Option("--length", help="Free length as measured [m].")] = None,
    upper: Annotated[bool, typer.Option("--upper", help="The part above the spreader.")] = False,
    wide: Annotated[bool, typer.Option("--wide", help="Look far from what the model expects.")] = False,
    wind: Annotated[float | None, typer.Option("--wind", help="Wind while measuring [kn].")] = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write it into the book.")] = False,
    book: BookOption = None,
    as_json: JsonOption = False,
    who: WhoOption = DEFAULT_WHO,
) -> None:
    """Measure a wire's tension: gauge, counted swings, a phone's motion CSV, a WAV, or as entered."""
    from cringle.workflows.rig.as_json import measure_json
    from cringle.workflows.rig.measure import MeasureRequest, rig_measure

    gauge = gauge_from(span, deflection, force)
    swing = swing_from(cycles, seconds)
    request = MeasureRequest(wire, gauge, swing, wav, motion, tension, length, upper, wide)
    found = rig_measure(find_book(book), request, keep=keep, wind_kn=wind, who=who)
    show(found, as_json, measure_json, text.measure_text)


@app.command(epilog="Example: cringle rig shape --prebend 27 --sag 95 --wind 12 --keep")
def shape(  # noqa: PLR0913, PLR0917 - one parameter an option
    prebend: Annotated[float | None, typer.Option("--prebend", help="Measured prebend [mm].")] = None,
    rake: Annotated[float | None, typer.Option("--rake", help="Masthead aft of the mast foot [mm].")] = None,
    sag: Annotated[float | None, typer.Option("--sag", help="Forestay sag in its middle [mm].")] = None,
    wind: Annotated[float, typer.Option("--wind", help="True wind [kn]; 0 is the dock.")] = 0.0,
    backstay_pull: Annotated[float, typer.Option("--backstay-pull", help="Puller from the top [mm].")] = 0.0,
    keep: Annotated[bool, typer.Option("--keep", help="Write it into the book.")] = False,
    book: BookOption = None,
    as_json: JsonOption = False,
    who: WhoOption = DEFAULT_WHO,
) -> None:
    """Put a measured prebend, rake or sag beside the model, and keep it for the fit."""
    from cringle.workflows.rig.as_json import shape_json
    from cringle.workflows.rig.shape import ShapeRequest, rig_shape

    given = {"prebend_mm": prebend, "rake_mm": rake, "sag_mm": sag}
    measured = {name: value for name, value in given.items() if value is not None}
    found = rig_shape(find_book(book), ShapeRequest(measured, wind, backstay_pull), keep=keep, who=who)
    show(found, as_json, shape_json, text.shape_text_beside)


@app.command(epilog="Examples: cringle rig check · cringle rig check --port 9412 --starboard 9404")
def check(
    port: Annotated[float | None, typer.Option("--port", help="Masthead to port chainplate [mm].")] = None,
    starboard: Annotated[
        float | None, typer.Option("--starboard", help="Masthead to starboard chainplate [mm].")
    ] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Check port against starboard from kept measurements, and whether the mast stands in the middle."""
    from cringle.workflows.rig.as_json import check_json
    from cringle.workflows.rig.measure import rig_check

    if (port is None) != (starboard is None):
        raise typer.BadParameter("give both --port and --starboard")
    middle = None if port is None or starboard is None else (port, starboard)
    show(rig_check(find_book(book), middle_mm=middle), as_json, check_json, text.check_text)


@app.command(epilog="Example: cringle rig fit --keep")
def fit(
    keep: Annotated[bool, typer.Option("--keep", help="Write the factors into the book.")] = False,
    book: BookOption = None,
    as_json: JsonOption = False,
    who: WhoOption = DEFAULT_WHO,
) -> None:
    """Fit the model's stiffness factors to the measurements in the book."""
    from cringle.workflows.rig.as_json import fit_json
    from cringle.workflows.rig.measure import rig_fit

    found = rig_fit(find_book(book), keep=keep, who=who)
    show(found, as_json, lambda one: fit_json(one, kept=keep), lambda one: text.fit_text(one, kept=keep))


@app.command(epilog="Examples: cringle rig lock all · cringle rig lock cap_port --state unlocked")
def lock(
    screws: Annotated[list[str], typer.Argument(help="Ids of the screws, or: all")],
    state: Annotated[str, typer.Option("--state", help="locked or unlocked.")] = "locked",
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
) -> None:
    """Record that rigging screws are locked (pinned), or not."""
    from cringle.workflows.rig.record import record_locks

    names = record_locks(find_book(book), screws, state, who=who, why=why)
    typer.echo(f"{state}: {', '.join(names)}")
