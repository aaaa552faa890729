"""A season in the terminal."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.table import Table

from cringle.output.report_words import UNKNOWN, number
from cringle.output.season_words import clear_trends, trend_sentence
from cringle.workflows.afloat.season import Season, failed_lines

TRENDS_SHOWN = 12


def show_season(found: Season, screen: Console, out: Path | None) -> None:
    """Print rows, trends that are clear, and the logs that gave none."""
    screen.print(season_table(found))
    screen.print(
        f"{found.files} logs, {found.unchanged} unchanged and not read again,"
        f" {len(found.failed)} without rows",
        markup=False,
    )
    screen.print("What went together (no proof of a cause)", style="bold")
    for one in clear_trends(found.trends)[:TRENDS_SHOWN]:
        screen.print(f"  - {trend_sentence(one)}", markup=False)
    if not any(one.clear for one in found.trends):
        screen.print("  - nothing is clear yet", markup=False)
    for line in failed_lines(found):
        screen.print(f"not used: {line}", markup=False, soft_wrap=True)
    if out is not None:
        screen.print(f"rows: {out}", markup=False, soft_wrap=True)


def season_table(found: Season) -> Table:
    """Return the rows as a table."""
    head = ("log", "leg", "min", "wind kn", "heel in band", "tack m", "gybe m", "lost s", "a min")
    table = Table(*head, box=None, pad_edge=False)
    for row in found.rows:
        share = row["heel_in_band_share"]
        table.add_row(
            Path(row["file"]).name[:24],
            row["name"] or "no leg found",
            number(row["duration_s"] / 60.0, 0),
            number(row["tws_kn"]),
            UNKNOWN if share is None else f"{100.0 * share:.0f} %",
            number(row["tack_loss_m"], 0),
            number(row["gybe_loss_m"], 0),
            number(row["lost_s"], 0),
            number(row["lost_s_per_min"]),
        )
    return table
