"""``cringle feel``: somebody calls a heel, the log or a spotter tells the truth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, emit_json, find_book
from cringle.cli.plan import print_wrapped
from cringle.errors import InputError
from cringle.output.wording import signed_text
from cringle.workflows.round.feel import FeelOver, feel_by_spotter, feel_drill, feel_over_outings

app = typer.Typer(rich_markup_mode=None)

EPILOG = (
    "Examples: cringle feel · cringle feel --caller Keo --call 12=15 --call 10=14 --call 15=15 · "
    "cringle feel --log evening --called called.csv (columns time,who,heel_deg)"
)


@app.command(epilog=EPILOG)
def feel(  # noqa: PLR0913, PLR0917 - one parameter an option
    caller: Annotated[str | None, typer.Option("--caller", help="Who called; with --call.")] = None,
    call: Annotated[
        list[str] | None, typer.Option("--call", help="CALLED=TRUE heel [deg]; at least three.")
    ] = None,
    log: Annotated[Path | None, typer.Option("--log", help="A log that tells the truth.")] = None,
    called: Annotated[Path | None, typer.Option("--called", help="CSV of what was called when.")] = None,
    outing: Annotated[
        str | None, typer.Option("--outing", help="Id of the outing.", show_default="the newest")
    ] = None,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Keep a drill for feel, and show how far each person's feeling is off over the outings."""
    folder = find_book(book)
    if (caller is None) != (not call) or (log is None) != (called is None):
        raise InputError("half a drill", next_step="give --caller with --call, or --log with --called")
    if caller is not None:
        feel_by_spotter(folder, caller, _calls(call or ()), who=who, outing=outing)
    if log is not None and called is not None:
        feel_drill(folder, log, called, who=who, outing=outing)
    found = feel_over_outings(folder)
    if as_json:
        emit_json({"schema": 1, "people": [asdict(one) for one in found]})
    else:
        print_wrapped(feel_lines(found))


def _calls(texts: Sequence[str]) -> list[tuple[float, float]]:
    """Return calls with their true heels [deg]."""
    found = []
    for text in texts:
        called, equals, true = text.replace("−", "-").partition("=")
        try:
            found.append((float(called), float(true)))
        except ValueError:
            mistake = f"{text!r} is not CALLED=TRUE" if equals else f"{text!r} has no ="
            raise InputError(mistake, next_step="give degrees to leeward, such as --call 12=15") from None
    return found


def _degrees(value: float) -> str:
    return f"{signed_text(round(value))}°"


def feel_lines(found: Sequence[FeelOver]) -> Iterator[str]:
    """Yield each person's bias over the outings, and what to do."""
    if not found:
        yield "Nobody has called a heel yet: cringle feel --caller NAME --call CALLED=TRUE."
        return
    yield "Felt less true, to leeward; 0° is a perfect feeling."
    for one in found:
        days = ", ".join(f"{day.outing} {_degrees(day.bias_deg)}" for day in one.days[-6:])
        yield f"{one.who}: {_degrees(one.bias_deg)} over {one.count} calls ({days}); {one.advice}."
    yield "On the water: call, look, call again. Hike within what bodies bear; a drill is no race."
