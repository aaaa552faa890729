from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.book.entries import Key
from cringle.book.rows import head_row_of_key, matches, row_of_key, time_of, time_text
from cringle.book.schema import ENTRY
from cringle.errors import InputError

INSTANTS = st.datetimes(min_value=datetime(1, 1, 2), timezones=st.just(UTC))


@given(INSTANTS, INSTANTS)
def test_texts_sort_as_the_instants_do(one: datetime, other: datetime) -> None:
    assert (time_text(one) < time_text(other)) == (one < other)
    assert time_of(time_text(one)) == one


def test_any_zone_is_kept_as_utc_and_none_is_refused() -> None:
    summer = timezone(timedelta(hours=1))
    assert time_text(datetime(2026, 5, 1, 19, 0, tzinfo=summer)) == "2026-05-01T18:00:00.000000Z"
    with pytest.raises(InputError, match="no time zone"):
        time_text(datetime(2026, 5, 1, 19, 0))


def test_the_head_row_has_no_null() -> None:
    key = Key("mark_stage", "vang")
    assert row_of_key(key)["wind_kn"] is None
    assert head_row_of_key(key) == {
        "kind": "mark_stage",
        "subject": "vang",
        "sail_set": "",
        "sea": "",
        "wind_kn": -1.0,
        "gear": "",
        "role": "",
    }
    assert head_row_of_key(Key("a", "b", wind_kn=0.0))["wind_kn"] == 0.0


def test_none_looks_for_an_unused_part() -> None:
    conditions = [str(one) for one in matches(ENTRY, {"sea": None, "wind_kn": 8.0})]
    assert conditions == ["entry.sea IS NULL", "entry.wind_kn = :wind_kn_1"]
