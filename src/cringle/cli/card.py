"""``cringle card``: tonight's card as an A6 PDF."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import BookOption, JsonOption, book_for_advice, console, emit_json
from cringle.cli.today import tell
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA
from cringle.workflows.round.card import CardRequest, CardsMade, make_card
from cringle.workflows.serving.pocket import make_pocket
from cringle.workflows.speed.tonight import model_answers, tonight_with_model

app = typer.Typer(help="Tonight's card as an A6 PDF.", rich_markup_mode=None)

Knots = Annotated[float | None, typer.Option(help="Knots.")]


@app.command(epilog="Example: cringle card --wind 11 --each --out cards.pdf")
def card(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    wind: Annotated[float | None, typer.Option(help="Mean true wind [kn].")] = None,
    low: Annotated[float | None, typer.Option(help="Lowest of the range [kn].")] = None,
    high: Annotated[float | None, typer.Option(help="Highest of the range [kn].")] = None,
    gust: Annotated[float | None, typer.Option(help="Gust [kn].")] = None,
    height: Annotated[float | None, typer.Option(help="Height the wind was measured at [m].")] = None,
    sea: Annotated[str, typer.Option(help="flat, chop or waves.")] = DEFAULT_SEA,
    sail_set: Annotated[str | None, typer.Option("--sail-set", help="Sail set of the front.")] = None,
    aboard: Annotated[str, typer.Option(help="Names of the people aboard, with commas.")] = "",
    person: Annotated[str | None, typer.Option(help="One person's card.")] = None,
    pocket: Annotated[bool, typer.Option("--pocket", help="A page for a phone without network.")] = False,
    each: Annotated[bool, typer.Option("--each", help="A card for everybody and one per person.")] = False,
    out: Annotated[Path, typer.Option("--out", help="PDF to write.")] = Path("card.pdf"),
    date: Annotated[str | None, typer.Option(help="Date on the card, YYYY-MM-DD[THH:MM].")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write tonight's card: numbers by person in front; heel, moves, run and cautions behind."""
    names = tuple(one.strip() for one in aboard.split(",") if one.strip())
    request = TonightRequest(wind, low, high, gust, height, sea, sail_set, names)
    wanted = CardRequest(person, each, _instant(date))
    folder = book_for_advice(book)
    if pocket:
        answers = partial(tonight_with_model, folder, tell=tell)
        show_pocket(make_pocket(folder, request, pocket_name(out), answers=answers), as_json=as_json)
        return
    made = make_card(folder, request, out, wanted=wanted, model=model_answers(folder, request, tell=tell))
    if as_json:
        emit_json({"schema": 1, "path": str(made.path), "cards": list(made.cards)})
        return
    console().print(told(made), markup=False)


def _instant(date: str | None) -> datetime | None:
    """Return the instant of a date given as text; UTC when it names no zone."""
    if date is None:
        return None
    try:
        found = datetime.fromisoformat(date)
    except ValueError as error:
        raise typer.BadParameter(f"{date!r} is no date; accepted: 2026-06-03 or 2026-06-03T18:00") from error
    return found if found.tzinfo else found.replace(tzinfo=UTC)


def pocket_name(out: Path) -> Path:
    """Return the name of the pocket page: as given, or next to where the card would be."""
    return out.with_suffix(".html") if out.suffix == ".pdf" else out


def show_pocket(path: Path, *, as_json: bool) -> None:
    """Say where the pocket page is."""
    if as_json:
        emit_json({"schema": 1, "path": str(path), "bytes": path.stat().st_size})
        return
    size_kb = path.stat().st_size // 1000
    console().print(f"{path}: {size_kb} kB; send it to the phones before you leave the dock", markup=False)


def told(made: CardsMade) -> str:
    """Return what was written in one line."""
    return f"written: {made.path} ({', '.join(made.cards)}). Print at 100 %, two-sided, cut to A6."
