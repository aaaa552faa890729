"""``cringle speed``: targets, polar, techniques, crew, depowering, lanes and the fit."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import BookOption, JsonOption, book_for_advice, emit_json, find_book
from cringle.cli.speed_options import (
    Aboard,
    CaseOption,
    Members,
    Need,
    OutOption,
    PointOption,
    SeaOption,
    Winds,
    about,
    shown,
    skills_from,
    tell,
    winds_from,
)

app = typer.Typer(
    help="Targets, techniques, heel, crew and lanes from the speed model.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


@app.command(
    epilog="Examples: cringle speed targets · cringle speed targets --wind 6,10,14 --out targets.svg"
)
def targets(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: Winds = None,
    gear: Annotated[str, typer.Option("--gear", help="settled or build.")] = "settled",
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    members: Members = 64,
    out: OutOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show the best speed made good up and down the wind: angle, speed, heel, each with its interval."""
    from cringle.cli.speed_text import targets_text
    from cringle.workflows.speed.as_json import targets_json
    from cringle.workflows.speed.speed import speed_targets

    asked = about(sea, aboard, members)
    found = speed_targets(book_for_advice(book), winds_from(wind), asked=asked, gear=gear)
    shown(found, as_json, targets_json, targets_text, out=out)


@app.command(epilog="Examples: cringle speed polar --wind 8,12,16 · cringle speed polar --out polar.png")
def polar(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: Winds = None,
    step: Annotated[float, typer.Option("--step", help="Step of the angle [deg].")] = 4.0,
    case: CaseOption = None,
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    out: OutOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show boat speed at every angle, for upwind sails and every technique."""
    from cringle.cli.speed_text import polar_text
    from cringle.workflows.speed.as_json import polar_json
    from cringle.workflows.speed.speed import speed_polar

    asked = about(sea, aboard)
    found = speed_polar(book_for_advice(book), winds_from(wind), asked=asked, step_deg=step, cases=case or ())
    shown(found, as_json, polar_json, polar_text, out=out)


@app.command(epilog="Examples: cringle speed techniques · cringle speed techniques --sea flat --json")
def techniques(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: Winds = None,
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    members: Members = 64,
    out: OutOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Compare soak, wing and plane by wind, and the windows in which each is best."""
    from cringle.cli.speed_text import techniques_text
    from cringle.workflows.speed.as_json import techniques_json
    from cringle.workflows.speed.speed import speed_techniques

    found = speed_techniques(book_for_advice(book), winds_from(wind), asked=about(sea, aboard, members))
    shown(found, as_json, techniques_json, techniques_text, out=out)


@app.command(epilog="Examples: cringle speed crew · cringle speed crew --wind 12 --aboard Ines,Tobias,Marit")
def crew(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: Winds = None,
    need: Need = None,
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    members: Members = 32,
    out: OutOption = None,
    places: Annotated[Path | None, typer.Option("--places", help="Deck plan to write, .svg or .png.")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show heel targets and the price of missing them, what people are worth, and who sits where."""
    from cringle.cli.speed_text import crew_text
    from cringle.workflows.speed.crew import speed_crew
    from cringle.workflows.speed.crew_as_json import crew_json
    from cringle.workflows.speed.print import print_places

    asked, needed = about(sea, aboard, members), skills_from(need)
    found = speed_crew(book_for_advice(book), winds_from(wind), asked=asked, skills=needed, tell=tell)
    if places is not None:
        print_places(found, places)
    shown(found, as_json, crew_json, crew_text, out=out)


@app.command(epilog="Example: cringle speed depower --json")
def depower(
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    members: Members = 24,
    out: OutOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what to do next as the wind builds, from crew to leeward to feathering, and in a puff."""
    from cringle.cli.speed_text import depower_text
    from cringle.workflows.speed.crew import speed_depower
    from cringle.workflows.speed.crew_as_json import depower_json

    found = speed_depower(book_for_advice(book), asked=about(sea, aboard, members), tell=tell)
    shown(found, as_json, depower_json, depower_text, out=out)


@app.command(
    epilog="Examples: cringle speed lanes higher-lower --wind 11 --lower 4 · "
    "cringle speed lanes shift --wind 10 --right 200 --shift 8 --out shift.svg · "
    "cringle speed lanes layline --wind 9 --right 80 --ahead 600"
)
def lanes(  # noqa: PLR0913, PLR0917 - one parameter an option
    question: Annotated[
        str, typer.Argument(help="higher-lower, lower-lane, split, shift, layline or clear-air.")
    ],
    wind: Annotated[float, typer.Option("--wind", help="True wind at 10 m [kn].")],
    point: PointOption = "up",
    lower: Annotated[float, typer.Option("--lower", help="Lower than the target; minus higher [deg].")] = 4.0,
    seconds: Annotated[float, typer.Option("--seconds", help="How long [s].")] = 120.0,
    gybe_loss: Annotated[float, typer.Option("--gybe-loss", help="Lost in one gybe [m].")] = 12.0,
    leg: Annotated[float, typer.Option("--leg", help="Left of the leg [min].")] = 8.0,
    clear: Annotated[float, typer.Option("--clear", help="Faster in the lower lane [%].")] = 0.0,
    slowed: Annotated[float, typer.Option("--slowed", help="Slower while following [%].")] = 5.0,
    right: Annotated[
        float, typer.Option("--right", help="You, or the mark, to the right looking to windward [m].")
    ] = 100.0,
    ahead: Annotated[float, typer.Option("--ahead", help="You, or the mark, ahead along the leg [m].")] = 0.0,
    shift: Annotated[float, typer.Option("--shift", help="Of the wind, clockwise positive [deg].")] = 8.0,
    behind: Annotated[float, typer.Option("--behind", help="Down the other boat's wake [m].")] = 30.0,
    beside: Annotated[float, typer.Option("--beside", help="Beside the axis of the wake [m].")] = 0.0,
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    out: OutOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Price a lane: metres gained or lost, the break-even, and a picture with the wind from the top."""
    from cringle.cli.speed_text import lane_text
    from cringle.workflows.speed.as_json import lane_json
    from cringle.workflows.speed.lanes import LaneQuestion, speed_lane, write_lane_picture

    asked = LaneQuestion(
        question, wind, point, lower_deg=lower, seconds=seconds, gybe_loss_m=gybe_loss, leg_minutes=leg,
        clear_percent=clear, slowed_percent=slowed, right_m=right, ahead_m=ahead, shift_deg=shift,
        behind_m=behind, beside_m=beside,
    )  # fmt: skip
    found = speed_lane(book_for_advice(book), asked, about=about(sea, aboard, 32))
    if out is not None:
        write_lane_picture(found, out)
    shown(found, as_json, lambda one: lane_json(one.answer), lane_text)


@app.command(
    name="fit",
    epilog="Examples: cringle speed fit steady.csv · cringle speed fit evening --run-case 'plane out' --keep",
)
def fit_command(  # noqa: PLR0913, PLR0917 - one parameter an option
    source: Annotated[
        str,
        typer.Argument(help="CSV with tws_kn, twa_deg, speed_kn; or a log in the book.", show_default=False),
    ] = "",
    run_case: Annotated[
        str, typer.Option("--run-case", help="What the log's runs were sailed as.")
    ] = "soak furled",
    keep: Annotated[bool, typer.Option("--keep", help="Keep the factors in the book.")] = False,
    forget: Annotated[
        bool, typer.Option("--forget", help="Use no fit from now on; deletes nothing.")
    ] = False,
    sea: SeaOption = "chop",
    aboard: Aboard = "",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Pull the model's factors to steady stretches, no farther than they have earned."""
    from cringle.cli.speed_text import fit_text
    from cringle.workflows.speed.fit import fit_json, forget_fit, speed_fit

    folder = find_book(book)
    if forget:
        kept = forget_fit(folder)
        emit_json({"schema": 1, "kept": {"id": kept.id}}) if as_json else typer.echo(
            "No fit is used from now on."
        )
        return
    found = speed_fit(folder, source, asked=about(sea, aboard), run_case=run_case, keep=keep)
    shown(found, as_json, fit_json, fit_text)
