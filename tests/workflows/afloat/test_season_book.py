from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from cringle.book.outing_notes import CrewNote, SailNote, SettingNote
from cringle.book.outings import LogNote, Outing
from cringle.workflows.afloat import season_book

AT = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)


def outing(day: int, *, logs: tuple[LogNote, ...] = (), hours: float = 2.0) -> Outing:
    at = AT.replace(day=day)
    return Outing(
        f"2026-06-{day:02d}",
        date(2026, 6, day),
        at,
        at.replace(hour=20),
        "Tarrow Water",
        ZoneInfo("Europe/London"),
        crews=(CrewNote(at, ("tobias", "ines")),),
        sails=(SailNote(at, "jib", hours),),
        settings=(SettingNote(at, "backstay", 3.0, "mark"), SettingNote(at, "backstay", 4.0, "mark")),
        logs=logs,
    )


def row(day: int, sha256: str = "a" * 64) -> dict[str, object]:
    return {"sha256": sha256, "start": AT.replace(day=day).isoformat(), "log_start": AT.isoformat()}


@pytest.fixture
def joined(monkeypatch: pytest.MonkeyPatch):
    outings = [outing(18), outing(17, logs=(LogNote("x", "b" * 64, "x"),), hours=3.0)]
    monkeypatch.setattr(season_book, "list_outings", lambda _: outings)
    return lambda *rows: season_book.joined_to_book(list(rows), Path())


def test_by_the_day(joined):
    found = joined(row(18))[0]
    assert found["outing"] == "2026-06-18"
    assert found["crew"] == "ines, tobias"
    assert found["settings"] == {"backstay": 4.0}


def test_hours_add_up_over_the_outings(joined):
    assert [one["sail_hours"] for one in joined(row(17), row(18))] == [3.0, 5.0]


def test_an_outing_that_holds_the_log_goes_first(joined):
    assert joined(row(18, "b" * 64))[0]["outing"] == "2026-06-17"


def test_a_day_without_an_outing(joined):
    assert joined(row(25))[0]["outing"] is None


def test_a_row_without_a_leg_goes_by_the_log(joined):
    assert joined({**row(17), "start": None})[0]["outing"] == "2026-06-17"
