"""``cringle log correct``: a wrong tack, rounding, start, finish, leg or recall, put right by a person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

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
from cringle.errors import InputError
from cringle.workflows.afloat.corrections import (
    Asked,
    LogCorrections,
    asked_of,
    correct_log,
    corrections_of,
    leg_end_of,
    undo_in_log,
)


@dataclass(frozen=True)
class _Said:
    """What was typed, option by option."""

    start: str | None = None
    finish: str | None = None
    add: Sequence[str] = field(default_factory=tuple)
    drop: Sequence[str] = field(default_factory=tuple)
    move: Sequence[str] = field(default_factory=tuple)
    name: Sequence[str] = field(default_factory=tuple)
    drop_manoeuvre: Sequence[int] = field(default_factory=tuple)
    leg_end: Sequence[str] = field(default_factory=tuple)

    def asked(self) -> Iterator[Asked]:
        """Yield each as the workflow takes it."""
        for what, to in (("start", self.start), ("finish", self.finish)):
            if to is not None:
                yield Asked("move", what, to=to)
        for action, texts in (
            ("add", self.add),
            ("remove", self.drop),
            ("move", self.move),
            ("rename", self.name),
        ):
            yield from (asked_of(action, one) for one in texts)
        yield from (Asked("remove", "manoeuvre", number=one) for one in self.drop_manoeuvre)
        yield from (leg_end_of(one) for one in self.leg_end)


def register(app: typer.Typer) -> None:
    """Add the command to the log commands."""
    app.command(
        epilog="Examples: cringle log correct evening --start 18:05:00 --why 'the committee boat noted it'"
        " · cringle log correct evening --drop-manoeuvre 7 --add tack@18:12:30"
        " · cringle log correct evening --undo 2"
    )(correct)


def correct(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    log: Annotated[Path, typer.Argument(help="A file, or the name of a log kept in the book.")],
    start: Annotated[str | None, typer.Option("--start", help="Time of the start nearest to it.")] = None,
    finish: Annotated[str | None, typer.Option("--finish", help="Time of the finish nearest to it.")] = None,
    add: Annotated[
        list[str] | None,
        typer.Option(
            "--add",
            help="What was not found: tack@18:12:30, gybe@, windward@, offset@, leeward@, finish@, recall@,"
            " up@18:05=18:20, run@, reach@.",
        ),
    ] = None,
    drop: Annotated[
        list[str] | None,
        typer.Option(
            "--drop", help="What was none: tack@18:12:30, gybe@, rounding@, leg@, finish@, or recall@."
        ),
    ] = None,
    move: Annotated[
        list[str] | None,
        typer.Option("--move", help="What was at another time: rounding@18:20:05=18:20:12, tack@, gybe@."),
    ] = None,
    name: Annotated[
        list[str] | None, typer.Option("--mark", help="Which mark a rounding was of: offset@18:20:05.")
    ] = None,
    drop_manoeuvre: Annotated[
        list[int] | None, typer.Option("--drop-manoeuvre", help="Its number in the debrief's list.")
    ] = None,
    leg_end: Annotated[
        list[str] | None, typer.Option("--leg-end", help="Another end of a leg, NUMBER=TIME: 2=18:20:10.")
    ] = None,
    undo: Annotated[
        list[int] | None, typer.Option("--undo", help="Number of a correction to take back.")
    ] = None,
    who: WhoOption = DEFAULT_WHO,
    why: WhyOption = "corrected",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Put right what was found in a log; without an option, list what was corrected. Times are local."""
    said = _Said(
        start,
        finish,
        add or (),
        drop or (),
        move or (),
        name or (),
        drop_manoeuvre or (),
        leg_end or (),
    )
    asked, folder = list(said.asked()), find_book(book)
    if asked and undo:
        raise InputError("a correction and an undo in one go", next_step="do one after the other")
    if undo:
        undo_in_log(folder, log, undo, who=who, why=why)
    elif asked:
        correct_log(folder, log, asked, who=who, why=why)
    _show(corrections_of(folder, log), as_json=as_json)


def _show(found: LogCorrections, *, as_json: bool) -> None:
    if as_json:
        emit_json(found.to_json())
    else:
        show_corrections(found, console())


def show_corrections(found: LogCorrections, screen: Console) -> None:
    """Print corrections, one after another."""
    if not found.kept:
        screen.print("nothing was corrected in this log", markup=False)
        return
    for one in found.kept:
        state = "undone by" if one.undone else "by"
        screen.print(
            f"{one.number:>3}  {found.words(one)}; {state} {one.who}: {one.why}", markup=False, soft_wrap=True
        )
    screen.print(f"Times in {found.time_zone}. Debrief and season follow; --undo NUMBER takes one back.")
