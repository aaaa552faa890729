"""``cringle today``: the numbers for tonight's wind."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from cringle.cli.common import BookOption, JsonOption, book_for_advice, emit_json
from cringle.cli.today_text import today_text
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA
from cringle.settings.tonight import tonight_json
from cringle.workflows.numbers.display import shown
from cringle.workflows.speed.tonight import tonight_with_model

app = typer.Typer(rich_markup_mode=None)

EPILOG = (
    "Examples: cringle today --wind 11 · cringle today --low 9 --high 14 --gust 17 · cringle today --wind 9 "
    "--height 2 --sea flat · cringle today --wind 11 --aboard Ines,Tobias,Marit · cringle today --wind 11 "
    "--sail-set main+kite"
)

WindOption = Annotated[float | None, typer.Option("--wind", help="Mean true wind [kn].")]
SeaOption = Annotated[str, typer.Option("--sea", help="flat, chop or waves.")]
SailSetOption = Annotated[
    str | None, typer.Option("--sail-set", help="Sails up, as in class.toml.", show_default="upwind sails")
]
AboardOption = Annotated[
    str,
    typer.Option("--aboard", help="Who is aboard, by comma; a guest as Guest=68.", show_default="everybody"),
]


@app.command(epilog=EPILOG)
def today(  # noqa: PLR0913, PLR0917 - one parameter an option
    wind: WindOption = None,
    low: Annotated[float | None, typer.Option("--low", help="Lower end of the range [kn].")] = None,
    high: Annotated[float | None, typer.Option("--high", help="Upper end of the range [kn].")] = None,
    gust: Annotated[float | None, typer.Option("--gust", help="Gust [kn].")] = None,
    height: Annotated[
        float | None,
        typer.Option("--height", help="Height where it was measured [m].", show_default="the table's height"),
    ] = None,
    sea: SeaOption = DEFAULT_SEA,
    sail_set: SailSetOption = None,
    aboard: AboardOption = "",
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what to set tonight: sheets by the mean wind, moves for the range and the gust."""
    request = TonightRequest(
        wind_kn=wind,
        low_kn=low,
        high_kn=high,
        gust_kn=gust,
        height_m=height,
        sea=sea,
        sail_set=sail_set,
        aboard=names(aboard),
    )
    folder = book_for_advice(book)
    answer = tonight_with_model(folder, request, tell=tell)
    if as_json:
        emit_json(tonight_json(answer))
    else:
        typer.echo("\n".join(shown(folder, today_text(answer).splitlines())))


def tell(words: str) -> None:
    """Say on the error stream what is being computed, and why."""
    sys.stderr.write(f"{words}\n")


def names(text: str) -> tuple[str, ...]:
    """Return the names of a list by comma."""
    return tuple(one.strip() for one in text.split(",") if one.strip())
