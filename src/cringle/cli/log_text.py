"""A debrief and a list of logs in the terminal, and the progress of long reads."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, DownloadColumn, Progress, TextColumn
from rich.table import Table

from cringle.cli.common import book_for_advice
from cringle.errors import InputError
from cringle.output.report_race_words import advice_line, race_sentences
from cringle.output.report_words import (
    UNKNOWN,
    bearing,
    clock,
    headings,
    lines_read,
    number,
    what_happened,
    wind_angle,
)
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.known import NUMBERS, Pair, magnetic_deg
from cringle.track.debrief.race import Race
from cringle.track.reading.chunks import Progress as Told
from cringle.track.reading.chunks import no_progress
from cringle.track.turns.tacks import Manoeuvre
from cringle.workflows.afloat.logs import KeptLog

TABLE_HEAD = ("", "time", "kind", "heading", "wind", "speed before", "lowest")


@contextmanager
def watched(words: str) -> Iterator[Told]:
    """Show a bar while a log is read, on a terminal only."""
    if not sys.stderr.isatty():
        yield no_progress
        return
    columns = (TextColumn(words), BarColumn(), DownloadColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


def book_for(log: Path, book: Path | None) -> Path | None:
    """Return the book that was named; for a name that is no file, the book at hand; else None.

    Raises
    ------
    RuleError
        The boat of that book is racing: a debrief advises.
    """
    if book is not None:
        return book_for_advice(book)
    if log.exists():
        return None
    try:
        return book_for_advice(None)
    except InputError:
        return None


def show_debrief(found: Debrief, screen: Console, out: Path | None) -> None:
    """Print the debrief: what the data cannot tell, what happened, the manoeuvres, the file."""
    _block(screen, "What the data cannot tell", found.unknown or ("nothing is missing",))
    if found.race is not None:
        _block(screen, "Keep, change, try", [advice_line(one) for one in found.race.advice])
        _block(screen, "Where the time went", race_sentences(found.race))
    _block(screen, "What happened", what_happened(found))
    if found.race is not None and found.race.ledger is not None:
        screen.print(leg_table(found.race, found.time_zone))
    if found.manoeuvres:
        screen.print(manoeuvre_table(found))
        screen.print(
            f"{headings(found.origins.bow)} Times in {found.time_zone}, speeds in knots.", markup=False
        )
    screen.print(lines_read(found), markup=False)
    if out is not None:
        screen.print(f"report: {out}", markup=False, soft_wrap=True)


def leg_table(race: Race, time_zone: str) -> Table:
    """Return the legs as a table for the terminal, with the numbers a correction names."""
    table = Table("", "from", "to", "leg", "to the", "made good", "how sure", box=None, pad_edge=False)
    for place, one in enumerate(race.legs, start=1):
        mark = one.leg.mark if one.leg.mark == "finish" else f"{one.leg.mark} mark"
        table.add_row(
            str(place),
            clock(one.leg.start_at, time_zone),
            clock(one.leg.end_at, time_zone),
            one.name,
            "end" if one.leg.race in race.structure.abandoned and one.leg.mark == "finish" else mark,
            f"{number(one.leg.made_good_m, 0)} m",
            f"{number(100.0 * one.leg.confidence, 0)} %",
        )
    return table


def manoeuvre_table(found: Debrief) -> Table:
    """Return the tacks and gybes as a table for the terminal."""
    table = Table(*TABLE_HEAD, box=None, pad_edge=False)
    for place, one in enumerate(found.manoeuvres or (), start=1):
        through_water = one.stw_before_kn is not None
        table.add_row(
            str(place),
            clock(one.at, found.time_zone),
            one.kind,
            f"{bearing(one.heading_before_deg)} > {bearing(one.heading_after_deg)}",
            f"{_short_side(one.awa_before_deg)} > {_short_side(one.awa_after_deg)}",
            number(one.stw_before_kn if through_water else one.sog_before_kn),
            number(one.stw_lowest_kn if through_water else one.sog_lowest_kn),
        )
    return table


def show_beside(found: Debrief, pairs: Sequence[Pair], screen: Console) -> None:
    """Print the manoeuvres found beside those noted by hand."""
    screen.print("Found beside noted", style="bold")
    screen.print(beside_table(found, pairs))
    both = sum(one.late_s is not None for one in pairs)
    only_noted = sum(one.found is None for one in pairs)
    only_found = sum(one.noted is None for one in pairs)
    screen.print(f"{both} found as noted, {only_noted} noted but not found, {only_found} found but not noted")
    screen.print("Headings magnetic, wind apparent (starboard positive), times in UTC, speeds in knots.")


def beside_table(found: Debrief, pairs: Sequence[Pair]) -> Table:
    """Return found and noted manoeuvres in one table, the found line above the noted one."""
    head = ("", "time", "kind", "heading", "wind", "stw before", "lowest", "sog before", "lowest")
    table = Table(*head, box=None, pad_edge=False)
    for pair in pairs:
        if pair.found is not None:
            table.add_row(
                "found", *_beside_cells(pair.found.at, pair.found.kind, _found_numbers(found, pair.found))
            )
        if pair.noted is not None:
            table.add_row("noted", *_beside_cells(pair.noted.at, pair.noted.kind, pair.noted.numbers))
    return table


def _found_numbers(found: Debrief, one: Manoeuvre) -> dict[str, float | None]:
    """Return the numbers of a found manoeuvre under the names of a noted list."""
    variation = found.log.magnetic_variation_deg
    return {
        "heading_before_mag_deg": magnetic_deg(one.heading_before_deg, variation),
        "heading_after_mag_deg": magnetic_deg(one.heading_after_deg, variation),
        **{name: getattr(one, name) for name in NUMBERS if hasattr(one, name)},
    }


def _beside_cells(at: datetime, kind: str, numbers: Mapping[str, float | None]) -> list[str]:
    before, after, wind_before, wind_after, *speeds = (numbers.get(name) for name in NUMBERS)
    return [
        f"{at:%H:%M:%S}",
        kind,
        f"{number(before, 0)} > {number(after, 0)}",
        f"{number(wind_before, 0)} > {number(wind_after, 0)}",
        *(number(speed) for speed in speeds),
    ]


def show_logs(kept: Sequence[KeptLog], screen: Console) -> None:
    """Print logs of the book, one a line."""
    if not kept:
        screen.print("no logs yet; run: cringle log read FILE", markup=False)
        return
    table = Table("key", "name", "start (UTC)", "fixes", "skipped", "outing", "", box=None, pad_edge=False)
    for one in kept:
        table.add_row(
            one.sha256[:12],
            one.name,
            UNKNOWN if one.start is None else f"{one.start:%Y-%m-%d %H:%M}",
            str(one.rows),
            str(sum(one.lines_skipped.values())),
            one.outing or UNKNOWN,
            "already there" if one.already_there else "",
        )
    screen.print(table)


def _short_side(angle_deg: float) -> str:
    return wind_angle(angle_deg).replace("starboard", "stbd")


def _block(screen: Console, title: str, sentences: Sequence[str]) -> None:
    if not sentences:
        return
    screen.print(title, style="bold")
    for sentence in sentences:
        screen.print(f"  - {sentence}", markup=False)
