from __future__ import annotations

import math
from datetime import UTC, datetime

import polars as pl

from cringle.track.reading.stamps import parse_count, parse_plain, parse_zoned


def test_zoned_times() -> None:
    found = parse_zoned(
        pl.Series(["2026-05-03T17:04:05Z", "2026-05-03 19:04:05.25+02:00", " 2026-05-03t17:04:05.5z "])
    )
    assert found.to_list() == [
        datetime(2026, 5, 3, 17, 4, 5, tzinfo=UTC),
        datetime(2026, 5, 3, 17, 4, 5, 250_000, tzinfo=UTC),
        datetime(2026, 5, 3, 17, 4, 5, 500_000, tzinfo=UTC),
    ]


def test_times_without_zone_are_not_guessed() -> None:
    assert parse_zoned(pl.Series(["2026-05-03T17:04:05", "soon", "", None])).null_count() == 4


def test_local_times_follow_summer_time() -> None:
    found = parse_plain(pl.Series(["2026-07-01T12:00:00", "2026-01-01 12:00:00"]), "Europe/Berlin")
    assert [one.hour for one in found] == [10, 11]


def test_local_times_that_do_not_exist_or_exist_twice_are_unknown() -> None:
    found = parse_plain(pl.Series(["2026-03-29T02:30:00", "2026-10-25T02:30:00"]), "Europe/Berlin")
    assert found.null_count() == 2


def test_a_zone_in_the_text_wins() -> None:
    assert parse_plain(pl.Series(["2026-07-01T12:00:00Z"]), "Europe/Berlin")[0].hour == 12


def test_counts() -> None:
    found = parse_count(pl.Series([0.0, 1500.25, None, math.nan, math.inf, 1e300]), 1000.0, 0)
    assert found[1] == datetime(1970, 1, 1, 0, 0, 1, 500_250, tzinfo=UTC)
    assert found.null_count() == 4
    assert parse_count(pl.Series([2.0]), 1.0, 1_000_000)[0] == datetime(1970, 1, 1, 0, 0, 3, tzinfo=UTC)
