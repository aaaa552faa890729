from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from cringle.book.outing_notes import Action, WindNote
from cringle.book.outings import LogNote, Outing
from cringle.cli.outing_screen import action_line, outing_lines, show, show_actions, show_list, wind_words

AT = datetime(2026, 5, 1, 17, 0, tzinfo=UTC)
BARE = Outing("2026-05-01", date(2026, 5, 1), AT, None, "", ZoneInfo("Europe/London"))


@pytest.mark.parametrize(
    ("wind", "words"),
    [
        (WindNote(AT, 11.0, 10.0), "11 kn, felt at 10 m"),
        (WindNote(AT, 11.5, 2.0, gust_kn=15.0, reference="hand-held"), "11.5 kn, gusts 15, hand-held at 2 m"),
        (WindNote(AT, 11.0, 10.0, low_kn=9.0, high_kn=13.0), "11 kn (9 to 13), felt at 10 m"),
        (WindNote(AT, 11.0, 10.0, low_kn=9.0, direction_deg=5.0), "11 kn, from 005 deg, felt at 10 m"),
    ],
)
def test_a_wind_in_words(wind: WindNote, words: str) -> None:
    assert wind_words(wind) == words


def test_a_bare_outing_says_what_it_has() -> None:
    assert list(outing_lines(BARE)) == ["Outing 2026-05-01, no place given, from 18:00 goes on"]


def test_logs_are_named() -> None:
    outing = Outing(
        "2026-05-01",
        date(2026, 5, 1),
        AT,
        AT,
        "x",
        ZoneInfo("UTC"),
        logs=(LogNote("logs/e.nmea", "ab", "e.nmea"),),
    )
    assert list(outing_lines(outing))[1] == "         log    e.nmea"


def test_an_action_in_one_line() -> None:
    action = Action("a1", "splice", "work list", "closed", "2026-05-01", "2026-05-08", 3)
    assert action_line(action) == "action a1 splice → work list (opened 2026-05-01, closed 2026-05-08)"


def test_nothing_to_show_is_said(book_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    show_list([], as_json=False)
    show_actions([], as_json=False)
    show(BARE, as_json=False, book=book_folder)
    out = capsys.readouterr().out
    assert "no outing yet" in out
    assert "no open action" in out
    show_list([BARE], as_json=False)
    assert "no wind noted" in capsys.readouterr().out
