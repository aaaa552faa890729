"""``cringle survey``: the work list, and the check before leaving the dock."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import (
    DEFAULT_WHO,
    BookOption,
    JsonOption,
    WhoOption,
    WhyOption,
    console,
    emit_json,
    find_book,
)
from cringle.cli.lines import print_lines
from cringle.settings.work_list import RankedItem
from cringle.workflows import survey as work
from cringle.workflows.outings import departure as dock

app = typer.Typer(
    help="The work list and the check before leaving the dock.", no_args_is_help=True, rich_markup_mode=None
)

OutOption = Annotated[Path | None, typer.Option("--out", help="PDF to write.")]
OutingOption = Annotated[
    str | None, typer.Option("--outing", help="Outing the ticks belong to.", show_default="today's date")
]


@app.command(epilog="Example: cringle survey show --json")
def show(book: BookOption = None, as_json: JsonOption = False) -> None:
    """Show the work list, ranked; what the class forbids stands apart."""
    shown = work.survey_shown(find_book(book))
    if as_json:
        emit_json(work.survey_json(shown))
        return
    print_lines(console(), list_lines(shown))


def list_lines(shown: work.SurveyShown) -> list[str]:
    """Return the work list as lines of text."""
    found = shown.work
    lines = [f"Work list, {shown.boat}"]
    category = ""
    for one in found.ranked:
        if one.item.category != category:
            category = one.item.category
            lines += ["", category.capitalize()]
        lines += item_lines(one, shown.currency)
    if found.forbidden:
        lines += ["", "The class forbids it: not advice"]
        lines += [f"    {one.item.id}: {one.item.what} ({one.advice})" for one in found.forbidden]
    if found.finished:
        lines += [
            "",
            "Behind us",
            *(f"    {one.item.id}: {one.item.what} ({one.state})" for one in found.finished),
        ]
    total = f"{found.hours:g} h, {found.cost:g} {shown.currency}".rstrip()
    return [*lines, "", f"{len(found.ranked)} to do: {total}.", *CAUTIONS]


CAUTIONS = (
    "Caution: the class rules in force have the last word; rigging and anything aloft: a qualified rigger.",
)


def item_lines(one: RankedItem, currency: str) -> list[str]:
    """Return one item: what, why, and what it takes."""
    item = one.item
    hours = "hours not known" if item.hours is None else f"{item.hours:g} h"
    cost = "cost not known" if item.cost is None else f"{item.cost:g} {currency}".rstrip()
    lines = [
        f"{one.rank:>3} {item.what}  [{item.id}]",
        f"    Why: {item.why}.",
        f"    {hours}, {cost}; {one.advice}.",
    ]
    return [*lines, f"    Caution: {item.caution}."] if item.caution else lines


@app.command(
    epilog='Example: cringle survey add cleat "Move the cleat" --why-do "out of reach" --category worthwhile'
)
def add(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    item: Annotated[str | None, typer.Argument(help="Short id of the item.")] = None,
    what: Annotated[str | None, typer.Argument(help="What to do.")] = None,
    why_do: Annotated[str, typer.Option("--why-do", help="Why it is worth doing.")] = "",
    category: Annotated[str, typer.Option(help="essential, worthwhile or comfort.")] = "worthwhile",
    allowed: Annotated[str, typer.Option(help="What the class says: yes, no or ask.")] = "ask",
    rule: Annotated[str, typer.Option(help="Number of the class rule.")] = "",
    edition: Annotated[str, typer.Option(help="Edition the rule was read in.")] = "",
    control: Annotated[
        list[str] | None, typer.Option(help="Control it makes better; may be repeated.")
    ] = None,
    effect: Annotated[
        str | None, typer.Option(help="What the speed model can price: rail, hull_surface or keel_surface.")
    ] = None,
    cost: Annotated[float | None, typer.Option(help="Cost, in the survey's currency.")] = None,
    hours: Annotated[float | None, typer.Option(help="Hours of work.")] = None,
    caution: Annotated[str, typer.Option(help="What can hurt.")] = "",
    starter: Annotated[
        bool, typer.Option("--starter", help="Add the generic starter survey instead.")
    ] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
) -> None:
    """Add an item to survey.toml; comments in the file survive."""
    folder = find_book(book)
    if starter:
        added = work.survey_add_starter(folder, who=who)
        console().print(
            f"{len(added)} added: {', '.join(added) or 'everything was there already'}", markup=False
        )
        return
    if not item or not what:
        raise typer.BadParameter("give an id and what to do, or --starter")
    fields = work.item_fields(
        id=item,
        what=what,
        why=why_do or what,
        category=category,
        allowed=allowed,
        rule=rule,
        edition=edition,
        controls=control or [],
        effect=effect,
        cost=cost,
        hours=hours,
        caution=caution,
    )
    made = work.survey_add(folder, fields, who=who)
    console().print(f"added {made.id}: {made.what}", markup=False)


@app.command(epilog="Example: cringle survey done screw_locks --who Keo")
def done(
    item: Annotated[str, typer.Argument(help="Id of the item.")],
    state: Annotated[str, typer.Option(help="done, dropped, or open to take it up again.")] = "done",
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "",
    as_json: JsonOption = False,
) -> None:
    """Record that an item is done (or dropped, or open again)."""
    found = work.survey_set_state(find_book(book), item, state, who=who, why=why)
    if as_json:
        emit_json({"schema": 1, "id": found.item.id, "state": found.state})
        return
    console().print(f"{found.item.id}: {found.state}", markup=False)


@app.command(name="print", epilog="Example: cringle survey print --out work-list.pdf")
def print_list(book: BookOption = None, out: OutOption = None, as_json: JsonOption = False) -> None:
    """Write the work list as a PDF."""
    target = out or Path("work-list.pdf")
    shown = work.survey_print(find_book(book), target)
    if as_json:
        emit_json({"schema": 1, "path": str(target), "items": len(shown.work.ranked)})
        return
    console().print(f"written: {target}", markup=False)


@app.command(epilog="Example: cringle survey departure --tick radio --tick tow_line")
def departure(
    tick: Annotated[list[str] | None, typer.Option("--tick", help="Line to tick; may be repeated.")] = None,
    outing: OutingOption = None,
    out: OutOption = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Go through the check before leaving the dock; ticks belong to one outing."""
    folder = find_book(book)
    if tick:
        dock.departure_tick(folder, tick, who=who, outing=outing)
    found = (
        dock.departure_print(folder, out, outing=outing)
        if out
        else dock.departure_check(folder, outing=outing)
    )
    if as_json:
        emit_json(dock.departure_json(found))
        return
    print_lines(console(), departure_lines(found))


def departure_lines(found: dock.Departure) -> list[str]:
    """Return the departure check as lines of text."""
    rows = [
        f"[{'x' if one.ticked else ' '}] {one.item.check}  ({one.item.id})"
        + (f", {one.by}" if one.ticked and one.by else "")
        for one in found.ticks
    ]
    left = sum(not one.ticked for one in found.ticks)
    last = "All ticked." if not left else f"{left} left. Tick with: cringle survey departure --tick ID"
    caution = "Caution: cold water first. Everybody agrees to go, or nobody goes."
    return [f"Before leaving the dock, {found.boat}, {found.outing}", *rows, last, caution]
