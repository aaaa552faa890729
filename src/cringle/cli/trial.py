"""``cringle trial``: plan, sail, judge; the evidence, what to try next, and moving the table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import (
    DEFAULT_WHO,
    BookOption,
    JsonOption,
    WhoOption,
    book_for_advice,
    emit_json,
    find_book,
)
from cringle.cli.pairs import pairs
from cringle.cli.trial_text import (
    show_decision,
    show_evidence_text,
    show_planned,
    show_result,
    show_tips,
    show_trial,
)
from cringle.trials.alone import Target
from cringle.workflows.outings.outing import Door
from cringle.workflows.trials.accept import Place, decide, undo
from cringle.workflows.trials.as_json import (
    decision_json,
    evidence_json,
    planned_json,
    result_json,
    tips_json,
    trial_json,
)
from cringle.workflows.trials.evidence import Row, show_evidence, suggest_trials, write_evidence_picture
from cringle.workflows.trials.result import ResultWish, judge_trial, write_gain_picture
from cringle.workflows.trials.trial import TrialWish, change_trial, plan_trial, start_trial, stop_trial

app = typer.Typer(
    rich_markup_mode=None,
    no_args_is_help=True,
    help="Try one control against another boat, and move the table only on evidence.",
    epilog="Example: cringle trial suggest --wind 11, then: cringle trial plan jib_sheet_leeward=4 --wind 11",
)

AtOption = Annotated[
    str | None, typer.Option("--at", help="HH:MM by the boat's own time.", show_default="now")
]
OutingOption = Annotated[
    str | None, typer.Option("--outing", help="Id of the outing.", show_default="newest")
]
GearOption = Annotated[str, typer.Option("--gear", help="Gear or technique of the row.")]
SeaOption = Annotated[str, typer.Option("--sea", help="flat, chop or waves.")]
SailsOption = Annotated[str | None, typer.Option("--sail-set", help="Sails.", show_default="upwind sails")]
PictureOption = Annotated[Path | None, typer.Option("--out", help="Write the picture as SVG.")]


@app.command(epilog="Example: cringle trial plan jib_sheet_leeward=4 --wind 11 --beside Sorrel --matters 2")
def plan(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    numbers: Annotated[list[str], typer.Argument(help="ROLE=NUMBER, one step from the table.")],
    wind_kn: Annotated[float, typer.Option("--wind", help="Wind at the table's height [kn].")],
    beside: Annotated[str, typer.Option("--beside", help="Name of the other boat.")] = "",
    alone: Annotated[bool, typer.Option("--alone", help="No other boat: A-B-A blocks.")] = False,
    matters: Annotated[
        float | None, typer.Option("--matters", help="Difference worth knowing [m/min].", show_default="2")
    ] = None,
    matters_time: Annotated[
        float | None, typer.Option("--matters-time", help="The same in seconds a mile; needs --vmg.")
    ] = None,
    vmg: Annotated[float | None, typer.Option("--vmg", help="Speed made good [kn].")] = None,
    against: Annotated[
        float | None,
        typer.Option("--against", help="What the other boat sails.", show_default="the table's number"),
    ] = None,
    gear: GearOption = "settled",
    sea: SeaOption = "chop",
    sail_set: SailsOption = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Reckon only, keep nothing.")] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Say how many minutes and swaps a trial needs, and keep it for tonight."""
    wish = TrialWish(
        pairs(numbers, "ROLE=NUMBER"),
        wind_kn,
        gear,
        sea,
        sail_set,
        "alone" if alone else "pair",
        beside,
        matters,
        matters_time,
        vmg,
        against,
    )
    found = plan_trial(find_book(book), wish, who=who, keep=not dry_run)
    emit_json(planned_json(found)) if as_json else show_planned(found)


@app.command(epilog="Example: cringle trial start t1 --at 18:40")
def start(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    trial: Annotated[
        str | None, typer.Argument(help="Id of the trial.", show_default="newest planned")
    ] = None,
    carrier: Annotated[str, typer.Option("--carrier", help="Who has the change: us, them, nobody.")] = "us",
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Start a planned trial."""
    found = start_trial(Door(find_book(book), who, outing, at), trial, carrier=carrier)
    emit_json(trial_json(found)) if as_json else show_trial(found)


@app.command(epilog="Examples: cringle trial change, cringle trial change nobody --at 18:52")
def change(
    carrier: Annotated[
        str | None, typer.Argument(help="us, them or nobody.", show_default="swap it over")
    ] = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note that the change went over to the other boat, or on or off."""
    found = change_trial(Door(find_book(book), who, at=at), carrier)
    emit_json(trial_json(found)) if as_json else show_trial(found)


@app.command(epilog="Example: cringle trial stop --at 19:05")
def stop(
    at: AtOption = None, book: BookOption = None, who: WhoOption = DEFAULT_WHO, as_json: JsonOption = False
) -> None:
    """Stop the trial that goes on."""
    found = stop_trial(Door(find_book(book), who, at=at))
    emit_json(trial_json(found)) if as_json else show_trial(found)


@app.command(epilog="Example: cringle trial result brindle.nmea sorrel.nmea --twd 240 --out gain.svg")
def result(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    ours: Annotated[Path | None, typer.Argument(help="Our log: a file, or its name in the book.")] = None,
    other: Annotated[Path | None, typer.Argument(help="The other boat's log.")] = None,
    trial: Annotated[str | None, typer.Option("--trial", help="Id.", show_default="newest")] = None,
    twd: Annotated[
        float | None, typer.Option("--twd", help="Wind from, true [deg].", show_default="logs, or outing")
    ] = None,
    shift: Annotated[float, typer.Option("--shift", help="Added to the other log's clock [s].")] = 0.0,
    target_speed: Annotated[
        float | None, typer.Option("--target-speed", help="Alone: speed to hold against [kn].")
    ] = None,
    target_angle: Annotated[
        float | None, typer.Option("--target-angle", help="Alone: angle off the wind [deg].")
    ] = None,
    note: Annotated[str, typer.Option("--note", help="Words, such as 'felt slow'.")] = "",
    out: PictureOption = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Judge only, keep nothing.")] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Work out what a trial showed, in words and with its interval, and keep it as evidence."""
    wish = ResultWish(
        trial, ours, other, twd, shift, Target(target_speed, target_angle), note, keep=not dry_run
    )
    found = judge_trial(find_book(book), wish, who=who)
    if out is not None:
        write_gain_picture(found, out)
    emit_json(result_json(found)) if as_json else show_result(found)


@app.command(epilog="Example: cringle trial evidence --role backstay --out evidence.svg")
def evidence(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    role: Annotated[str | None, typer.Option("--role", help="One role.", show_default="all tried")] = None,
    gear: GearOption = "settled",
    sea: SeaOption = "chop",
    sail_set: SailsOption = None,
    out: PictureOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show what the trials say of the table, wind by wind, and which of them carry it."""
    found = show_evidence(book_for_advice(book), Row(sail_set, sea, gear), role=role)
    if out is not None:
        write_evidence_picture(found, out)
    emit_json(evidence_json(found)) if as_json else show_evidence_text(found)


@app.command(epilog="Example: cringle trial suggest --wind 11")
def suggest(
    wind_kn: Annotated[float, typer.Option("--wind", help="Tonight's wind at the table's height [kn].")],
    gear: GearOption = "settled",
    sea: SeaOption = "chop",
    sail_set: SailsOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Name three things to try tonight: one control each, one step at most, most worth first."""
    found = suggest_trials(book_for_advice(book), wind_kn, Row(sail_set, sea, gear))
    emit_json(tips_json(found)) if as_json else show_tips(found)


@app.command(
    epilog="Examples: cringle trial accept backstay --wind 12, cringle trial accept backstay --wind 12 --undo"
)
def accept(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    role: Annotated[str, typer.Argument(help="Which role.")],
    wind_kn: Annotated[float, typer.Option("--wind", help="Which row of the table [kn].")],
    decline: Annotated[
        bool, typer.Option("--decline", help="Leave the table; the decision is kept.")
    ] = False,
    take_back: Annotated[bool, typer.Option("--undo", help="Take an accepted change back.")] = False,
    why: Annotated[str, typer.Option("--why", help="Kept with the entry.")] = "",
    gear: GearOption = "settled",
    sea: SeaOption = "chop",
    sail_set: SailsOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Move the table where the evidence asks for it, decline, or take it back."""
    place, folder = Place(role, wind_kn, Row(sail_set, sea, gear)), find_book(book)
    if take_back:
        found = undo(folder, place, who=who)
    else:
        found = decide(folder, place, who=who, why=why, accept=not decline)
    emit_json(decision_json(found)) if as_json else show_decision(found)
