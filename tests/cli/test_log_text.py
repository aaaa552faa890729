from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path

import pytest
from rich.console import Console

from cringle.cli.log_text import beside_table, manoeuvre_table, show_beside, show_debrief, show_logs, watched
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.known import Noted, beside
from cringle.track.reading.chunks import no_progress
from cringle.workflows.afloat.logs import KeptLog


def screen(width: int = 80) -> Console:
    return Console(file=io.StringIO(), width=width, highlight=False)


def text_of(console: Console) -> str:
    file = console.file
    assert isinstance(file, io.StringIO)
    return file.getvalue()


def test_a_debrief_fits_eighty_columns(evening: Debrief) -> None:
    console = screen()
    show_debrief(evening, console, Path("report.html"))
    lines = text_of(console).splitlines()
    assert max(len(line.rstrip()) for line in lines) <= 80
    assert sum(" tack " in line or " gybe " in line for line in lines) == 14
    assert lines[-1].startswith("report: report.html")


def test_markup_in_a_name_is_not_taken_as_markup(windless: Debrief) -> None:
    console = screen()
    show_debrief(windless, console, Path("[red]x[/red].html"))
    assert "[red]x[/red].html" in text_of(console)


def test_manoeuvres_in_local_time(evening: Debrief) -> None:
    table = manoeuvre_table(evening)
    assert table.row_count == 14
    assert next(table.columns[1].cells) == "18:35:21"


def test_without_wind_there_is_no_table(windless: Debrief) -> None:
    assert manoeuvre_table(windless).row_count == 0


def test_missing_and_invented_manoeuvres_are_counted(evening: Debrief) -> None:
    noted = [
        Noted(datetime(2026, 6, 17, 17, 35, 20, tzinfo=UTC), "tack", {"stw_before_kn": 4.9}),
        Noted(datetime(2026, 6, 17, 17, 59, 0, tzinfo=UTC), "tack", {}),
    ]
    pairs = beside(evening, noted)
    console = screen()
    show_beside(evening, pairs, console)
    assert "1 found as noted, 1 noted but not found, 13 found but not noted" in text_of(console)
    assert beside_table(evening, pairs).row_count == 16


def test_logs_one_a_line() -> None:
    console = screen()
    kept = KeptLog("a" * 64, "evening.nmea", None, None, 0, {"ais": 3}, None, True)
    show_logs([kept], console)
    assert "aaaaaaaaaaaa" in text_of(console)
    assert "already there" in text_of(console)
    show_logs([], console)
    assert "no logs yet" in text_of(console)


def test_no_bar_when_nobody_watches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stderr", io.StringIO())
    with watched("reading") as progress:
        assert progress is no_progress


def test_a_bar_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr("sys.stderr", Terminal())
    with watched("reading") as progress:
        progress(5, 10)
        progress(10, 10)
