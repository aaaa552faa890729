"""Options that several ``cringle speed`` commands share, and what is made of their text."""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from cringle.cli.common import emit_json
from cringle.cli.lines import print_answer
from cringle.errors import InputError
from cringle.workflows.speed.open import SpeedAsked

Winds = Annotated[
    str | None,
    typer.Option("--wind", help="True winds at 10 m, by comma [kn].", show_default="a range of winds"),
]
SeaOption = Annotated[str, typer.Option("--sea", help="flat, chop or waves.")]
Aboard = Annotated[
    str,
    typer.Option("--aboard", help="Who is aboard, by comma; a guest as Guest=68.", show_default="everybody"),
]
Members = Annotated[int, typer.Option("--members", help="Boats in the ensemble.", min=2, max=1000)]
OutOption = Annotated[Path | None, typer.Option("--out", help="Picture to write, .svg or .png.")]
CaseOption = Annotated[
    list[str] | None,
    typer.Option("--case", help="One way of sailing, such as 'wing furled'; may be repeated."),
]
PointOption = Annotated[str, typer.Option("--point", help="up or down.")]
Need = Annotated[
    list[str] | None,
    typer.Option("--need", help="A skill a role needs, ROLE=SKILL; may be repeated."),
]


def winds_from(text: str | None) -> Sequence[float]:
    """Return winds from a text with commas.

    Raises
    ------
    InputError
        A part is no finite number.
    """
    try:
        winds = [float(one) for one in (text or "").split(",") if one.strip()]
    except ValueError as error:
        raise InputError(f"--wind {text}: not numbers", next_step="such as --wind 6,10,14") from error
    if not all(math.isfinite(one) for one in winds):
        raise InputError(f"--wind {text}: no finite number of knots", next_step="such as --wind 6,10,14")
    return winds


def about(sea: str, aboard: str, members: int = 64) -> SpeedAsked:
    """Return sea, people and members as one question."""
    names = tuple(one.strip() for one in aboard.split(",") if one.strip())
    return SpeedAsked(sea=sea, aboard=names, members=members)


def skills_from(texts: Sequence[str] | None) -> Mapping[str, Sequence[str]]:
    """Return skills by role from texts like ``forward=works_foredeck``.

    Raises
    ------
    InputError
        A text has no equals sign, or nothing on one side of it.
    """
    found: dict[str, list[str]] = {}
    for text in texts or ():
        role, equals, skill = text.partition("=")
        if not (equals and role.strip() and skill.strip()):
            raise InputError(f"--need {text}", next_step="give ROLE=SKILL, such as forward=works_foredeck")
        found.setdefault(role.strip(), []).append(skill.strip())
    return found


def tell(words: str) -> None:
    """Say on the error stream what is being computed."""
    sys.stderr.write(f"computing: {words}\n")


def forgotten(fit: int, as_json: bool) -> None:
    """Say that no fit is used from now on."""
    if as_json:
        emit_json({"schema": 1, "kept": {"id": fit}})
    else:
        typer.echo("No fit is used from now on; earlier ones stay in the history.")


def shown(
    found: Any,
    as_json: bool,
    to_json: Callable[[Any], dict[str, Any]],
    to_text: Callable[[Any], list[str]],
    *,
    out: Path | None = None,
) -> None:
    """Write the picture when asked for, and print the answer as JSON or as text."""
    if out is not None:
        from cringle.workflows.speed.print import print_speed

        print_speed(found, out)
    if as_json:
        emit_json(to_json(found))
    else:
        print_answer(to_text(found))
