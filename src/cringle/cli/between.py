"""``cringle between``: what to change for the wind now, in fifteen seconds; locked while racing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from cringle.book.local_time import clock_text
from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, emit_json, find_book
from cringle.cli.text_rule import wrapped
from cringle.cli.today import AboardOption, SailSetOption, SeaOption, names
from cringle.errors import InputError
from cringle.output.wording import mark_text, printable
from cringle.settings.moves import Move
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA
from cringle.workflows.numbers.display import shown
from cringle.workflows.outings.moments import Moment, lock, set_signal, unlock
from cringle.workflows.round.between import Between, between, between_json, keep, say, undo

app = typer.Typer(rich_markup_mode=None)

EPILOG = (
    "Examples: cringle between --wind 14 · cringle between --signal 19:25 · cringle between --wind 14 "
    "--keep · cringle between --undo · cringle between --said height --bad · cringle between --race-over"
)
NO_WIND = "no wind given"


@app.command(name="between", epilog=EPILOG)
def between_(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: Annotated[float | None, typer.Option("--wind", help="Wind now [kn].")] = None,
    height: Annotated[
        float | None, typer.Option("--height", help="Height where it was measured [m].")
    ] = None,
    sea: SeaOption = DEFAULT_SEA,
    sail_set: SailSetOption = None,
    aboard: AboardOption = "",
    signal: Annotated[str | None, typer.Option("--signal", help="Next preparatory signal, 18:55.")] = None,
    kept: Annotated[bool, typer.Option("--keep", help="The moves shown were made.")] = False,
    taken_back: Annotated[bool, typer.Option("--undo", help="The moves kept last were taken back.")] = False,
    said: Annotated[str | None, typer.Option("--said", help="height, speed, start or manoeuvre.")] = None,
    good: Annotated[bool, typer.Option("--good/--bad", help="How it went.")] = False,
    racing: Annotated[bool, typer.Option("--racing", help="The preparatory signal was made.")] = False,
    race_over: Annotated[bool, typer.Option("--race-over", help="The race is over.")] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Say what to change for the wind now, screws first; nothing from the preparatory signal on."""
    folder = find_book(book)
    request = (
        None if wind is None else TonightRequest(wind, None, None, None, height, sea, sail_set, names(aboard))
    )
    for line in _told(folder, who, signal=signal, racing=racing, race_over=race_over, said=(said, good)):
        typer.echo(line, err=as_json)
    if taken_back:
        for note in undo(folder, who=who):
            typer.echo(f"back: {note.role.replace('_', ' ')} {mark_text(note.value)}", err=as_json)
    elif request is not None:
        found = keep(folder, request, who=who) if kept else between(folder, request)
        _show(folder, found, as_json=as_json)
        if kept:
            typer.echo(_kept_line(found), err=as_json)
    elif not (signal or racing or race_over or said):
        raise InputError(NO_WIND, next_step="add --wind 14, or see: cringle between --help")


def _told(
    folder: Path,
    who: str,
    *,
    signal: str | None,
    racing: bool,
    race_over: bool,
    said: tuple[str | None, bool],
) -> Iterator[str]:
    """Do what a person says of the race and the crew, and yield what was understood."""
    if race_over:
        yield _moment_line(unlock(folder, who=who))
    if signal is not None:
        yield _moment_line(set_signal(folder, signal, who=who))
    if said[0] is not None:
        yield f"noted: {say(folder, said[0], good=said[1], who=who)}"
    if racing:
        yield _moment_line(lock(folder, who=who))


def _moment_line(now: Moment) -> str:
    if now.is_locked:
        return "racing: what you read is fixed until: cringle between --race-over"
    if now.signal is None:
        return "not racing; no preparatory signal on record"
    return f"preparatory signal {clock_text(now.signal, now.zone)[:5]}, {now.minutes_left} min left"


def _kept_line(found: Between) -> str:
    count = len(found.moves)
    if not count:
        return "kept: nothing had to change"
    return f"kept: {count} move{'' if count == 1 else 's'} noted as made; back with: cringle between --undo"


def _show(folder: Path, found: Between, *, as_json: bool) -> None:
    if as_json:
        emit_json(between_json(found))
    else:
        typer.echo("\n".join(shown(folder, between_lines(found))))


def between_lines(found: Between) -> Iterator[str]:
    """Yield the page: minutes left, at most six moves, what is left out and assumed, the check."""
    for note in found.notes:
        yield wrapped("Note", note.rstrip(".") + ".")
    if found.tonight is None:
        return
    yield f"{found.tonight.wind.wind_kn:.0f} kn now; {_moment_line(found.moment)}"
    for one in found.moves:
        yield _move_line(one, found)
    if not found.moves and found.tonight.numbers.roles:
        yield "nothing to change"
    if found.more:
        yield f"{found.more} smaller moves: cringle today --wind {found.tonight.wind.wind_kn:.0f}"
    if found.ashore:
        yield wrapped("Ashore", f"{', '.join(found.ashore)}: only ashore, leave it.")
    open_ = sum(not one.ticked for one in found.ready.ticks)
    yield f"ready check: {open_} open (cringle survey departure)"


def _move_line(one: Move, found: Between) -> str:
    scale = found.tonight.scales[one.role] if found.tonight is not None else None
    size = mark_text(abs(one.end - one.start))
    line = f"{printable(one.who)[:9]:<9} {one.name}: {one.word} by {size} to {mark_text(one.end)}"
    if scale is None or not scale.is_rig:
        return line
    left = found.moment.minutes_left
    return line + (", before the preparatory signal" if left is None else f", {left} min left")
