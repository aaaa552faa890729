"""The command line's front door: names, one-line helps, and nothing loaded before it is asked for."""

from __future__ import annotations

import gc
import importlib
import importlib.util
import io
import sys
from collections.abc import Sequence
from typing import Any

import typer
from typer.core import TyperGroup

from cringle.errors import CringleError

COMMANDS: dict[str, tuple[str, str]] = {
    "demo": ("cringle.cli.demo", "Make the demo book and run the main job on it."),
    "today": ("cringle.cli.today", "Tonight's start numbers for a wind."),
    "tonight": ("cringle.cli.tonight", "At the dock: rig, numbers, heel, run, moves, goal, ready check."),
    "between": ("cringle.cli.between", "Between races: what to change for the wind now; the signal."),
    "home": ("cringle.cli.home", "Home after: your guess, then what the log says, and what to do."),
    "card": ("cringle.cli.card", "Tonight's card as an A6 PDF."),
    "book": ("cringle.cli.book", "Make, check, restore and back up a book."),
    "settings": ("cringle.cli.settings", "The settings table, scales, marks and strips."),
    "survey": ("cringle.cli.survey", "The work list and the check before leaving the dock."),
    "outing": ("cringle.cli.outing", "The record of one day."),
    "log": ("cringle.cli.log", "Read, list and debrief recorded logs."),
    "season": ("cringle.cli.season", "One row for each log and leg over a folder, with trends."),
    "speed": ("cringle.cli.speed", "Targets, techniques, heel, crew and lanes from the speed model."),
    "rig": ("cringle.cli.rig", "Turns to tensions, prebend and sag; the backstay; loads."),
    "play": ("cringle.cli.play", "Who does what in what order: check, deal, risk, rehearse, cards."),
    "cues": ("cringle.cli.cues", "What one sees, feels and hears; shown, and put in your own words."),
    "feel": ("cringle.cli.feel", "The drill for feel: a called heel against the true one."),
    "plan": ("cringle.cli.plan", "The season on one page: goals, drills, sails, actions, evidence."),
    "visit": ("cringle.cli.visit", "A coach's visit: found, done, next, and the report for the owner."),
    "shelf": ("cringle.cli.shelf", "Several books side by side: list, compare in mm, share files."),
    "serve": ("cringle.cli.serve", "The book as pages, on this machine or for phones on the same Wi-Fi."),
    "trial": ("cringle.cli.trial", "Try one control beside another boat; move the table on evidence."),
    "verify": ("cringle.cli.verify", "Run every check against the world outside."),
}
"""Command to the module that holds its ``app``, and the help shown in the list."""

EPILOG = (
    "A book is a folder; without --book the current folder is used, then ./demo-book. "
    "Start with: cringle demo, then: cringle today --wind 11"
)


class LazyGroup(TyperGroup):
    """A group that imports a command's module only when that command is run or its help is asked for."""

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ARG002 - signature of the base class
        """Return the names in the order of `COMMANDS`."""
        return [name for name in COMMANDS if _exists(COMMANDS[name][0])]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002 - signature of the base class
        """Return the command of that name, importing its module now."""
        if cmd_name not in COMMANDS:
            return None
        module, short_help = COMMANDS[cmd_name]
        command = typer.main.get_command(_imported(module).app)
        command.name = cmd_name
        command.short_help = short_help
        if not command.help:
            command.help = short_help
        return command

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write the list of commands from `COMMANDS`, so that help loads none of them."""
        rows = [(name, COMMANDS[name][1]) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl(rows)


def _imported(module: str) -> Any:
    """Import a command's module with the garbage collector at rest: a fifth of a cold start went into it.

    What an import makes stays to the end of the process, so it is set aside from later collections too.
    """
    gc.disable()
    try:
        return importlib.import_module(module)
    finally:
        gc.freeze()
        gc.enable()


def _show_what_can_be_shown() -> None:
    """Put a mark in place of a letter the terminal cannot show, rather than fail in the middle of a page."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _exists(module: str) -> bool:
    return importlib.util.find_spec(module) is not None


app = typer.Typer(
    cls=LazyGroup,
    name="cringle",
    help="A speed book for one small keelboat, its crew and their coach.",
    epilog=EPILOG,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


@app.callback()
def main() -> None:
    """Make a boat's speed repeatable and improvable."""


def run(arguments: Sequence[str] | None = None) -> None:
    """Run the command line and end the process.

    Exit status: 0 done, 1 bad input, 2 usage, 3 conflict, 130 interrupted.
    """
    _show_what_can_be_shown()
    try:
        app(args=list(arguments) if arguments is not None else None)
    except CringleError as error:
        sys.stderr.write(f"cringle: {error}\n")
        sys.exit(error.exit_status)
    except BrokenPipeError:
        sys.exit(0)
    except KeyboardInterrupt:
        sys.stderr.write("cringle: stopped; nothing acknowledged is lost\n")
        sys.exit(130)
