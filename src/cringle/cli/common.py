"""What every command shares: the same options, the same JSON, the same way to find the book."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console

from cringle.book.names import DATABASE_NAME
from cringle.errors import InputError

BookOption = Annotated[
    Path | None,
    typer.Option(
        "--book", envvar="CRINGLE_BOOK", help="The book's folder.", show_default="this folder, or ./demo-book"
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
WhoOption = Annotated[str, typer.Option("--who", envvar="CRINGLE_WHO", help="Who makes this entry.")]
WhyOption = Annotated[str, typer.Option("--why", help="Why; kept with the entry.")]

DEFAULT_WHO = "coach"


def find_book(given: Path | None) -> Path:
    """Return the folder of the book: the one given, this folder, one above it, or ``./demo-book``.

    Raises
    ------
    InputError
        There is no book in any of these places.
    """
    if given is not None:
        if not (given / "boat.toml").is_file():
            raise InputError(
                f"{given}: there is no book here",
                next_step=f"run: cringle demo {given}, or: cringle book new {given}",
            )
        return given
    here = Path.cwd()
    for folder in (here, *here.parents, here / "demo-book"):
        if (folder / "boat.toml").is_file() and (folder / "class.toml").is_file():
            return folder
    raise InputError(
        "no book found in this folder", next_step="run: cringle demo, or name a book with --book DIR"
    )


def book_for_advice(given: Path | None) -> Path:
    """Return the book's folder, unless they are racing: after the preparatory signal no advice is given.

    Raises
    ------
    InputError
        There is no book.
    RuleError
        They are racing; the message names the rule.
    """
    folder = find_book(given)
    if (folder / DATABASE_NAME).is_file():
        from cringle.workflows.outings.moments import require_unlocked

        require_unlocked(folder)
    return folder


def console() -> Console:
    """Return the console for text meant for people."""
    return Console(highlight=False, soft_wrap=False)


def emit_json(data: Any) -> None:
    """Print one JSON document; unknown is null, never NaN."""
    sys.stdout.write(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n")
