"""``cringle outing``: the record of one day."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, find_book
from cringle.cli.outing_screen import show, show_actions, show_list
from cringle.cli.pairs import pairs
from cringle.settings.records import TonightRequest
from cringle.workflows.outings.goals import carried_actions, close_action, judge_goal, open_action, set_goal
from cringle.workflows.outings.notes import (
    Observed,
    WindSaid,
    note_crew,
    note_observation,
    note_rig,
    note_sails,
    note_sea,
    note_settings,
    note_start_numbers,
    note_wind,
)
from cringle.workflows.outings.outing import Door, end_outing, list_outings, show_outing, start_outing

app = typer.Typer(
    rich_markup_mode=None,
    no_args_is_help=True,
    help="The record of one day: wind, sea, people, sails, settings, observations, goals and actions.",
    epilog="Examples: cringle outing start, cringle outing wind 11 --gust 15, cringle outing end",
)

OutingOption = Annotated[
    str | None,
    typer.Option("--outing", help="Id of the outing.", show_default="the one that goes on, or the newest"),
]
AtOption = Annotated[
    str | None,
    typer.Option("--at", help="When: HH:MM by the boat's own time, or a date and time.", show_default="now"),
]


@app.command(epilog="Example: cringle outing start --place 'Tarrow Water' --who Ines --at 18:00")
def start(
    place: Annotated[
        str | None, typer.Option("--place", show_default="the home water", help="Where.")
    ] = None,
    people: Annotated[
        list[str] | None, typer.Option("--person", help="Id of somebody aboard; repeat.", show_default="all")
    ] = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Begin an outing."""
    show(
        start_outing(Door(find_book(book), who, at=at), place=place, people=people or None),
        as_json=as_json,
        book=book,
    )


@app.command(epilog="Example: cringle outing wind 11 --low 9 --gust 15 --direction 240 --height 2")
def wind(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    wind_kn: Annotated[float, typer.Argument(help="Mean wind [kn].")],
    low: Annotated[float | None, typer.Option("--low", help="Lulls [kn].")] = None,
    high: Annotated[float | None, typer.Option("--high", help="Top of the range [kn].")] = None,
    gust: Annotated[float | None, typer.Option("--gust", help="Gusts [kn].")] = None,
    direction: Annotated[float | None, typer.Option("--direction", help="From, true [deg].")] = None,
    height: Annotated[
        float | None,
        typer.Option("--height", help="Measured at [m].", show_default="the table's reference height"),
    ] = None,
    reference: Annotated[str, typer.Option("--reference", help="Read from what.")] = "felt",
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note the wind as it is now."""
    said = WindSaid(wind_kn, height, low, high, gust, direction, reference)
    show(note_wind(Door(find_book(book), who, outing, at), said), as_json=as_json, book=book)


@app.command(epilog="Example: cringle outing sea chop")
def sea(
    state: Annotated[str, typer.Argument(help="flat, chop or waves.")],
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note the sea as it is now."""
    show(note_sea(Door(find_book(book), who, outing, at), state), as_json=as_json, book=book)


@app.command(epilog="Example: cringle outing crew ines tobias marit keo")
def crew(
    people: Annotated[list[str], typer.Argument(help="Ids of the crew file.")],
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note who is aboard from now on."""
    show(note_crew(Door(find_book(book), who, outing, at), people), as_json=as_json, book=book)


@app.command(epilog="Example: cringle outing use main_1=2.5 jib_1=2")
def use(
    sails: Annotated[list[str], typer.Argument(help="SAIL=HOURS, ids of the boat file; hours add up.")],
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note which sails were used and for how long."""
    show(
        note_sails(Door(find_book(book), who, outing, at), pairs(sails, "SAIL=HOURS")),
        as_json=as_json,
        book=book,
    )


@app.command(
    "set",
    epilog="Examples: cringle outing set backstay=3 --at 18:40, cringle outing set --wind 11 --sea chop",
)
def set_command(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    values: Annotated[list[str] | None, typer.Argument(help="ROLE=NUMBER, in force from now on.")] = None,
    wind_kn: Annotated[
        float | None, typer.Option("--wind", help="Take all start numbers of the table for this wind [kn].")
    ] = None,
    gear: Annotated[str, typer.Option("--gear", help="With --wind: which gear or technique.")] = "settled",
    sea: Annotated[str, typer.Option("--sea", help="With --wind: the sea.")] = "chop",
    sail_set: Annotated[
        str | None, typer.Option("--sail-set", help="With --wind: the sails.", show_default="upwind sails")
    ] = None,
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note settings in force; the table itself stays as it is."""
    door = Door(find_book(book), who, outing, at)
    if (wind_kn is None) == (not values):
        raise typer.BadParameter("give ROLE=NUMBER, or --wind")
    if wind_kn is None:
        found = note_settings(door, pairs(values or [], "ROLE=NUMBER"))
    else:
        found = note_start_numbers(door, TonightRequest(wind_kn=wind_kn, sea=sea, sail_set=sail_set), gear)
    show(found, as_json=as_json, book=book)


@app.command(epilog="Example: cringle outing rig cap_port=1 cap_starboard=1 --row 12")
def rig(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    turns: Annotated[list[str] | None, typer.Argument(help="SCREW=TURNS from the base tune.")] = None,
    row: Annotated[float | None, typer.Option("--row", help="Wind of the table's row [kn].")] = None,
    text: Annotated[str, typer.Option("--text", help="In words.")] = "",
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Note the rig as it is set. Turn screws only when the class allows it, and never under load."""
    said = pairs(turns or [], "SCREW=TURNS")
    show(
        note_rig(Door(find_book(book), who, outing, at), said, row_kn=row, text=text),
        as_json=as_json,
        book=book,
    )


@app.command(epilog="Example: cringle outing note 'helm went light' --tag trim --photo leech.jpg --at 18:55")
def note(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    text: Annotated[str, typer.Argument(help="What was seen, felt or heard.")],
    boat: Annotated[str | None, typer.Option("--boat", help="Which boat.", show_default="ours")] = None,
    tag: Annotated[str | None, typer.Option("--tag", help="One word to find it by.")] = None,
    photo: Annotated[Path | None, typer.Option("--photo", help="Copied into the book.")] = None,
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Keep an observation."""
    show(
        note_observation(Door(find_book(book), who, outing, at), Observed(text, boat, tag, photo)),
        as_json=as_json,
        book=book,
    )


@app.command(epilog="Examples: cringle outing goal 'heel 12 deg upwind', cringle outing goal --met 1")
def goal(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    text: Annotated[str | None, typer.Argument(help="A new goal, in a few words.")] = None,
    met: Annotated[int | None, typer.Option("--met", help="Number of a goal that was met.")] = None,
    missed: Annotated[int | None, typer.Option("--missed", help="Number of a goal that was not.")] = None,
    outing: OutingOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Set one of at most three goals, or say whether it was met."""
    door, number = Door(find_book(book), who, outing), met or missed
    if (text is None) == (number is None) or (met and missed):
        raise typer.BadParameter("give a new goal, or --met NUMBER, or --missed NUMBER")
    judged = "met" if met else "not met"
    show(
        set_goal(door, text) if text is not None else judge_goal(door, number or 0, judged),
        as_json=as_json,
        book=book,
    )


@app.command(
    epilog="Examples: cringle outing action 'splice the backstay tail' --route 'work list', --close a1"
)
def action(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    text: Annotated[
        str | None, typer.Argument(help="What is to be done; nothing lists the open ones.")
    ] = None,
    route: Annotated[str, typer.Option("--route", help="drill, trial, work list, table or other.")] = "other",
    close: Annotated[str | None, typer.Option("--close", help="Id of the action that is done.")] = None,
    outing: OutingOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Open an action, close one, or list the open ones; open ones are carried to later outings."""
    folder = find_book(book)
    door = Door(folder, who, outing)
    if close is not None:
        changed = [close_action(door, close)]
    else:
        changed = carried_actions(folder) if text is None else [open_action(door, text, route)]
    show_actions(changed, as_json=as_json)


@app.command(epilog="Example: cringle outing end --at 20:15")
def end(
    outing: OutingOption = None,
    at: AtOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """End the outing."""
    show(end_outing(Door(find_book(book), who, outing, at)), as_json=as_json, book=book)


@app.command("show", epilog="Examples: cringle outing show, cringle outing show 2026-05-01 --json")
def show_command(
    outing: Annotated[str | None, typer.Argument(help="Id of the outing.")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show the record of one day."""
    show(show_outing(find_book(book), outing), as_json=as_json, book=book)


@app.command("list", epilog="Example: cringle outing list --json")
def list_command(book: BookOption = None, as_json: JsonOption = False) -> None:
    """List every outing."""
    show_list(list_outings(find_book(book)), as_json=as_json)
