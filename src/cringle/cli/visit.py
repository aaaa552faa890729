"""``cringle visit``: a coach's visit to a boat, kept by the day, and the report for the owner."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, emit_json, find_book
from cringle.cli.plan import print_wrapped
from cringle.errors import InputError
from cringle.output.sheet import sheet_lines
from cringle.workflows.numbers.display import shown
from cringle.workflows.round.visit import Said, VisitAsked, note_visit, read_visit_file, visit_report
from cringle.workflows.round.visit_sheet import SCREEN_ROWS, print_visit, visit_json, visit_pages

app = typer.Typer(rich_markup_mode=None)

EPILOG = (
    "Examples: cringle visit --found 'the vang cleat slips' --photo cleat.jpg='Vang cleat' · cringle visit "
    "--done 'marked the vang' · cringle visit --wind 12 --out visit.pdf · cringle visit --file visit.toml"
)


@app.command(epilog=EPILOG)
def visit(  # noqa: PLR0913, PLR0917 - one parameter an option
    found: Annotated[
        list[str] | None, typer.Option("--found", help="What you found; may be repeated.")
    ] = None,
    done: Annotated[list[str] | None, typer.Option("--done", help="What was done; may be repeated.")] = None,
    todo: Annotated[list[str] | None, typer.Option("--next", help="What is next; may be repeated.")] = None,
    photo: Annotated[
        list[str] | None, typer.Option("--photo", help="FILE or FILE=WORDS, .jpg or .png, 8 MB at most.")
    ] = None,
    file: Annotated[Path | None, typer.Option("--file", help="All of it in a TOML file.")] = None,
    day: Annotated[
        str | None, typer.Option("--visit", help="Day of the visit.", show_default="the newest")
    ] = None,
    wind: Annotated[
        float | None, typer.Option("--wind", help="Wind [kn] to price things in.", show_default="last noted")
    ] = None,
    sea: Annotated[
        str | None, typer.Option("--sea", help="flat, chop or waves.", show_default="last noted")
    ] = None,
    out: Annotated[list[Path] | None, typer.Option("--out", help="Write the report as .pdf.")] = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Keep what you found and did on a visit, and make the report for the owner from the book."""
    folder = find_book(book)
    said = Said(tuple(found or ()), tuple(done or ()), tuple(todo or ()))
    kept = _keep(folder, said, photos=photo or (), file=file, day=day, who=who)
    report = visit_report(folder, VisitAsked(kept or day, wind, sea), who=who)
    for path in out or ():
        print_visit(report, path)
    if as_json:
        emit_json(visit_json(report))
    else:
        print_wrapped(shown(folder, sheet_lines(visit_pages(report, SCREEN_ROWS).body)))


def _keep(
    folder: Path, said: Said, *, photos: Sequence[str], file: Path | None, day: str | None, who: str
) -> str | None:
    """Keep what was said, and return the visit it went to; None when nothing was."""
    pictures = [_photo(one) for one in photos]
    if file is not None:
        more, others = read_visit_file(file)
        said = Said((*said.found, *more.found), (*said.done, *more.done), (*said.next, *more.next))
        pictures += others
    if said.is_empty and not pictures:
        return None
    return note_visit(folder, said, photos=pictures, who=who, day=None if day is None else _day(day))


def _photo(text: str) -> tuple[Path, str]:
    path, _, words = text.partition("=")
    return Path(path), words


def _day(text: str) -> date:
    try:
        return datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        raise InputError(f"{text!r} is no day", next_step="give it as 2026-06-17") from None
