"""A debrief and a list of logs in the terminal, and the progress of long reads."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, DownloadColumn, Progress, TextColumn
from rich.table import Table

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
from cringle.track.chunks import Progress as Told
from cringle.track.chunks import no_progress
from cringle.track.debrief import Debrief
from cringle.workflows.logs import KeptLog

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


def show_debrief(found: Debrief, screen: Console, out: Path | None) -> None:
    """Print the debrief: what the data cannot tell, what happened, the manoeuvres, the file."""
    _block(screen, "What the data cannot tell", found.unknown or ("nothing is missing",))
    _block(screen, "What happened", what_happened(found))
    if found.manoeuvres:
        screen.print(manoeuvre_table(found))
        screen.print(
            f"{headings(found.origins.bow)} Times in {found.time_zone}, speeds in knots.", markup=False
        )
    screen.print(lines_read(found), markup=False)
    if out is not None:
        screen.print(f"report: {out}", markup=False, soft_wrap=True)


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
            f"{wind_angle(one.awa_before_deg)} > {wind_angle(one.awa_after_deg)}",
            number(one.stw_before_kn if through_water else one.sog_before_kn),
            number(one.stw_lowest_kn if through_water else one.sog_lowest_kn),
        )
    return table


def show_logs(kept: Sequence[KeptLog], screen: Console) -> None:
    """Print logs of the book, one a line."""
    if not kept:
        screen.print("no logs yet; run: cringle log read FILE", markup=False)
        return
    table = Table(
        "key", "name", "start (UTC)", "fixes", "skipped lines", "outing", "", box=None, pad_edge=False
    )
    for one in kept:
        table.add_row(
            one.sha256[:12],
            one.name,
            UNKNOWN if one.start is None else f"{one.start:%Y-%m-%d %H:%M:%S}",
            str(one.rows),
            str(sum(one.lines_skipped.values())),
            one.outing or UNKNOWN,
            "there already" if one.already_there else "",
        )
    screen.print(table)


def _block(screen: Console, title: str, sentences: Sequence[str]) -> None:
    screen.print(title, style="bold")
    for sentence in sentences:
        screen.print(f"  - {sentence}", markup=False)
