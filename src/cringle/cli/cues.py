"""``cringle cues``: what one sees, feels and hears, shown and put in the coach's own words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, emit_json, find_book
from cringle.cli.plan import print_wrapped
from cringle.cli.today import SailSetOption
from cringle.workflows.round.cues import CueSaid
from cringle.workflows.round.cues_all import about_of, every_cue, said_of, write_about

app = typer.Typer(rich_markup_mode=None)

EPILOG = (
    "Examples: cringle cues · cringle cues plane · cringle cues tack · cringle cues 12 --gear build · "
    "cringle cues plane --sense hear --words 'a drum under the floor' · "
    "cringle cues plane --sense hear --ours"
)


@app.command(epilog=EPILOG)
def cues(  # noqa: PLR0913, PLR0917 - one parameter an option
    about: Annotated[
        str | None,
        typer.Argument(help="A technique, a play, or the wind of a row [kn].", show_default="all"),
    ] = None,
    gear: Annotated[str, typer.Option("--gear", help="Gear or technique of a row.")] = "settled",
    sail_set: SailSetOption = None,
    sea: Annotated[str | None, typer.Option("--sea", help="Sea of a row.", show_default="any")] = None,
    sense: Annotated[str | None, typer.Option("--sense", help="see, feel, hear or helm.")] = None,
    words: Annotated[str | None, typer.Option("--words", help="Your own words for it.")] = None,
    ours: Annotated[bool, typer.Option("--ours", help="Take your words back; ours stand again.")] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Show what one sees, feels and hears in a row, a technique or a play, or write it in your own words."""
    folder = find_book(book)
    place = None if about is None else about_of(folder, about, gear=gear, sail_set=sail_set, sea=sea)
    if sense is not None or words is not None or ours:
        write_about(folder, place, sense=sense, words=None if ours else words or "", who=who)
    found = every_cue(folder) if place is None else said_of(folder, place)
    if as_json:
        emit_json({"schema": 1, "cues": [asdict(one) for one in found]})
    else:
        print_wrapped(cue_lines(found))


def cue_lines(found: Sequence[CueSaid]) -> Iterator[str]:
    """Yield cues under what they are about; a guess is marked as one, somebody's words carry the name."""
    about = ""
    for one in found:
        if one.about != about:
            about = one.about
            yield about[:1].upper() + about[1:]
        by = "guess" if one.entry_id is None else one.by
        yield f"  {one.sense}: {one.words} ({by})"
    if not found:
        yield "No cues: give your own with --sense and --words."
