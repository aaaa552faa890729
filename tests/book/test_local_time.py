from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.book.local_time import clock_text, day_and_clock_text, instant_of
from cringle.errors import InputError

LONDON = ZoneInfo("Europe/London")
MAY = date(2026, 5, 1)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("18:20", datetime(2026, 5, 1, 17, 20, tzinfo=UTC)),
        ("18:20:05", datetime(2026, 5, 1, 17, 20, 5, tzinfo=UTC)),
        ("2026-04-30T18:20", datetime(2026, 4, 30, 17, 20, tzinfo=UTC)),
        ("2026-04-30 18:20", datetime(2026, 4, 30, 17, 20, tzinfo=UTC)),
        ("2026-04-30T18:20Z", datetime(2026, 4, 30, 18, 20, tzinfo=UTC)),
        ("2026-04-30T18:20+05:00", datetime(2026, 4, 30, 13, 20, tzinfo=UTC)),
    ],
)
def test_times_as_people_say_them(text: str, expected: datetime) -> None:
    assert instant_of(text, MAY, LONDON) == expected


@pytest.mark.parametrize(
    "text", ["", "noon", "18", "1820", "25:00", "18:60", "18:20Z", "2026-13-01T18:20", "half past"]
)
def test_what_is_no_time_says_what_is(text: str) -> None:
    with pytest.raises(InputError, match="is no time") as refused:
        instant_of(text, MAY, LONDON)
    assert refused.value.next_step is not None
    assert "HH:MM" in refused.value.next_step


@pytest.mark.parametrize("text", ["0001-01-01T00:00+14:00", "9999-12-31T23:59-14:00", "1969-12-31T23:00"])
def test_a_year_of_no_boat_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="accepted are the years 1970 to 2200"):
        instant_of(text, MAY, LONDON)


def test_the_hour_that_spring_leaves_out_is_refused() -> None:
    with pytest.raises(InputError, match="the clocks leave this time out on 2026-03-29"):
        instant_of("01:30", date(2026, 3, 29), LONDON)


def test_of_the_hour_that_comes_twice_the_first_is_meant() -> None:
    assert instant_of("01:30", date(2026, 10, 25), LONDON) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


@given(st.datetimes(min_value=datetime(2000, 1, 1), max_value=datetime(2060, 1, 1), timezones=st.just(UTC)))
def test_shown_and_read_again_is_the_same_minute(at: datetime) -> None:
    shown = at.astimezone(LONDON)
    again = instant_of(clock_text(at, LONDON), shown.date(), LONDON)
    minute = at.replace(second=0, microsecond=0)
    assert again in (minute, minute.replace(hour=minute.hour - 1 if minute.hour else 0))
    assert day_and_clock_text(at, LONDON).endswith(clock_text(at, LONDON))
