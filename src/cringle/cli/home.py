"""``cringle home``: your guess, then what the log says, then what to do with it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, emit_json, find_book
from cringle.cli.text_rule import WIDTH
from cringle.output.sheet import sheet_lines
from cringle.workflows.numbers.display import shown
from cringle.workflows.outings.outing import Door
from cringle.workflows.round.home import HomeAsked, confirm_settings, guess, home
from cringle.workflows.round.route import route_action
from cringle.workflows.round.sheet import home_json, home_sheet, write_home

app = typer.Typer(rich_markup_mode=None)

EPILOG = (
    "Examples: cringle home --guess tack · cringle home · cringle home --out home.pdf · cringle home "
    "--action 'call the heel aloud' --route drill --owner main · cringle home --confirm"
)


@app.command(name="home", epilog=EPILOG)
def home_(  # noqa: PLR0913, PLR0917 - one parameter an option
    guessed: Annotated[
        str | None, typer.Option("--guess", help="What cost the most, before you see.")
    ] = None,
    no_guess: Annotated[bool, typer.Option("--no-guess", help="Show it without a guess.")] = False,
    baseline: Annotated[str, typer.Option("--baseline", help="model, fitted or own.")] = "model",
    action: Annotated[str | None, typer.Option("--action", help="What is to be done.")] = None,
    route: Annotated[str, typer.Option("--route", help="drill, trial, work list, table, other.")] = "drill",
    owner: Annotated[str, typer.Option("--owner", help="The role that does it.")] = "crew",
    confirm: Annotated[bool, typer.Option("--confirm", help="The settings noted were in force.")] = False,
    outing: Annotated[str | None, typer.Option("--outing", help="Id of the outing.")] = None,
    out: Annotated[list[Path] | None, typer.Option("--out", help="Write it as .pdf or .html.")] = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Say what the data cannot tell, hold your guess against the log, send actions where they belong."""
    folder = find_book(book)
    if guessed is not None:
        guess(folder, guessed, who=who, outing=outing)
    for line in _done(Door(folder, who, outing), confirm=confirm, action=action, route=route, owner=owner):
        typer.echo(line, err=as_json)
    if action is None and not confirm:
        _show(folder, HomeAsked(outing, baseline, no_guess), who, out=out or (), as_json=as_json)


def _done(door: Door, *, confirm: bool, action: str | None, route: str, owner: str) -> Iterator[str]:
    """Confirm and route what was asked for, and yield what was done."""
    if confirm:
        found = confirm_settings(door.folder, who=door.who, outing=door.outing)
        yield f"confirmed: {len(found)} numbers in force"
    if action is not None:
        routed = route_action(door, action, route=route, owner=owner)
        yield f"{routed.action.id} goes to {route}; find it with: {routed.found_in}"


def _show(folder: Path, asked: HomeAsked, who: str, *, out: Sequence[Path], as_json: bool) -> None:
    found = home(folder, asked, who=who)
    sheet = home_sheet(folder, found)
    for path in out:
        write_home(sheet, path, datetime.now(found.outing.zone))
    if as_json:
        emit_json(home_json(found))
        return
    for line in shown(folder, sheet_lines(sheet)):
        typer.echo(textwrap.fill(line, WIDTH, subsequent_indent="  ", break_on_hyphens=False))
