"""Several days in one log: told apart, cut, chosen."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import polars as pl
import pytest

from cringle.errors import InputError
from cringle.track.debrief.days import SailingDay, chosen_day, day_sentence, days_of, only_day
from cringle.track.reading.read import TrackLog
from cringle.track.reading.report import ReadReport

START = datetime(2026, 6, 16, 16, 0, tzinfo=UTC)


def piece(start: datetime, minutes: int, *, moving: bool = True, lon: float = 10.0) -> pl.DataFrame:
    """Return a fix every ten seconds, going east at some 5 kn or lying still."""
    rows = minutes * 6
    step = 4e-4 if moving else 0.0
    return pl.DataFrame(
        {
            "time": [start + timedelta(seconds=10 * row) for row in range(rows)],
            "lat": np.full(rows, 54.0),
            "lon": lon + step * np.arange(rows),
        },
        schema_overrides={"time": pl.Datetime("us", "UTC")},
    )


def test_a_log_of_one_day_is_one_day() -> None:
    (only,) = days_of(piece(START, 90), "Europe/London")
    assert (only.day, only.start, only.rows) == (date(2026, 6, 16), START, 540)
    assert day_sentence((only,), only) is None
    assert days_of(piece(START, 90).clear(), "UTC") == ()


def test_two_evenings_are_two_days() -> None:
    track = pl.concat([piece(START, 60), piece(START + timedelta(days=1), 90)])
    first, second = days_of(track, "Europe/London")
    assert (first.day, first.rows, second.day, second.rows) == (
        date(2026, 6, 16),
        360,
        date(2026, 6, 17),
        540,
    )
    assert second.start == START + timedelta(days=1)
    assert chosen_day((first, second), None) is second
    assert chosen_day((first, second), date(2026, 6, 16)) is first
    with pytest.raises(InputError, match="no sailing on 2026-06-18") as told:
        chosen_day((first, second), date(2026, 6, 18))
    assert "2026-06-16, 2026-06-17" in str(told.value)
    assert "for the others (2026-06-16) say --day" in str(day_sentence((first, second), second))


def test_a_race_past_midnight_is_of_the_day_it_began() -> None:
    late = datetime(2026, 6, 16, 22, 0, tzinfo=UTC)
    (only,) = days_of(piece(late, 240), "UTC")
    assert only.day == date(2026, 6, 16)


def test_the_date_is_that_of_the_boats_zone() -> None:
    track = pl.concat(
        [piece(datetime(2026, 6, 16, 23, 30, tzinfo=UTC), 60), piece(START + timedelta(days=2), 60)]
    )
    assert [one.day.day for one in days_of(track, "Europe/London")] == [17, 18]
    assert [one.day.day for one in days_of(track, "UTC")] == [16, 18]


def test_a_recorder_that_ran_all_night_at_the_dock() -> None:
    evening = piece(START, 120)
    end = float(evening["lon"][-1])
    dock = piece(START + timedelta(minutes=120), 22 * 60 - 120 + 60, moving=False, lon=end)
    next_day = piece(START + timedelta(hours=23), 120, lon=end)
    first, second = days_of(pl.concat([evening, dock, next_day]), "UTC")
    assert (first.day, second.day) == (date(2026, 6, 16), date(2026, 6, 17))
    middle = START + timedelta(hours=12, minutes=30)
    assert abs(first.end - middle) < timedelta(minutes=15)
    assert second.start - first.end == timedelta(seconds=10)


def test_two_outings_of_one_date_are_one_day() -> None:
    track = pl.concat(
        [piece(START.replace(hour=8), 60), piece(START, 60), piece(START + timedelta(days=1), 60)]
    )
    found = days_of(track, "UTC")
    assert [(one.day.day, one.rows) for one in found] == [(16, 720), (17, 360)]


def test_one_day_is_cut_out_with_its_side_tables_and_gaps() -> None:
    track = pl.concat(
        [piece(START, 10), piece(START + timedelta(minutes=20), 10), piece(START + timedelta(days=1), 10)]
    )
    side = {"heading": track.select("time").with_columns(hdg=pl.lit(10.0))}
    report = ReadReport("csv", "0" * 64, 1, 180, 180, {}, gap_count=2)
    days = days_of(track, "UTC")
    one = only_day(TrackLog(track, side, report), days[0])
    assert (one.track.height, one.side["heading"].height, one.report.gap_count) == (120, 120, 1)
    other = only_day(TrackLog(track, {"wind": side["heading"].head(3)}, report), days[1])
    assert (other.track.height, other.side, other.report.gap_count) == (60, {}, 0)
    assert other.report.lines_read == 180


def test_how_long_a_day_is() -> None:
    assert SailingDay(date(2026, 6, 16), START, START + timedelta(minutes=5), 3).seconds == 300.0
