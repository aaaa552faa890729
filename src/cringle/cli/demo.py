"""``cringle demo``: from nothing to a book, tonight's numbers, a card, strips and two debriefs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from cringle.cli.common import JsonOption, console, emit_json
from cringle.cli.log_text import show_beside, show_debrief
from cringle.cli.today_text import today_text
from cringle.settings.tonight import tonight_json
from cringle.track.debrief.as_json import as_json as debrief_json
from cringle.workflows.round.demo import DemoDone, run_demo

app = typer.Typer(rich_markup_mode=None)


@app.command(epilog="Examples: cringle demo, cringle demo my-folder")
def demo(
    folder: Annotated[Path, typer.Argument(metavar="[DIR]", help="Where to make the book.")] = Path(
        "demo-book"
    ),
    as_json: JsonOption = False,
) -> None:
    """Make the book of an invented boat and run the main job on it."""
    screen = console()
    tell = (
        (lambda _: None)
        if as_json
        else (lambda step: screen.print(f"-- {step}", markup=False, soft_wrap=True))
    )
    done = run_demo(folder, tell)
    if as_json:
        emit_json(_as_json(done))
    else:
        _show(done)


def _show(done: DemoDone) -> None:
    screen = console()
    screen.print()
    typer.echo(today_text(done.tonight))
    screen.print("The evening", style="bold")
    show_debrief(done.evening, screen, None)
    if done.recorded is not None:
        screen.print("\nA log recorded on real water", style="bold")
        show_debrief(done.recorded, screen, None)
        show_beside(done.recorded, done.pairs, screen)
    screen.print()
    screen.print(" · ".join(f"{what}: {where}" for what, where in done.results), markup=False, soft_wrap=True)


def _as_json(done: DemoDone) -> dict[str, Any]:
    return {
        "schema": 1,
        "made": done.made,
        "results": {what.replace(" ", "_"): str(where) for what, where in done.results},
        "today": tonight_json(done.tonight),
        "evening": debrief_json(done.evening),
        "recorded": None if done.recorded is None else debrief_json(done.recorded),
    }
