"""A season in the terminal."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from season_views import season_view

from cringle.cli.season_text import season_table, show_season
from cringle.track.season.season import SeasonFile
from cringle.workflows.afloat.season import Season


def season() -> Season:
    shown = season_view()
    failed = (SeasonFile("bad.nmea", None, (), "no <log>"),)
    rows = tuple(dict(one) for one in shown.rows)
    return Season(rows, failed, 7, 2, tuple(shown.trends), tuple(shown.groups))


def said(found: Season, out: Path | None = None) -> str:
    screen = Console(record=True, width=200)
    show_season(found, screen, out)
    return screen.export_text()


def test_rows_trends_and_what_was_not_used() -> None:
    text = said(season(), Path("season.csv"))
    assert "7 logs, 2 unchanged and not read again, 1 without rows" in text
    assert "Lost in a tack: \u22121.4 m for each week that went by" in text
    assert "not used: bad.nmea: no <log>" in text
    assert "rows: season.csv" in text


def test_nothing_clear_is_said() -> None:
    found = season()
    none = Season(found.rows, (), 7, 7, (), ())
    assert "nothing is clear yet" in said(none)


def test_a_log_without_a_leg_has_dashes() -> None:
    table = season_table(season())
    assert table.row_count == 11
    assert list(table.columns[1].cells)[-1] == "no leg found"
    assert next(iter(table.columns[4].cells)) == "46 %"
    assert list(table.columns[4].cells)[-1] == "\u2013"
