from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.errors import InputError
from cringle.output.wording import mark_text
from cringle.settings.instants import earlier_table, mark_of


def test_a_date_means_the_end_of_that_day_where_the_boat_lives():
    assert earlier_table("2026-05-14", "Europe/London") == datetime(2026, 5, 14, 23, tzinfo=UTC)
    assert earlier_table("2026-12-31", "Europe/London") == datetime(2027, 1, 1, tzinfo=UTC)


def test_a_time_is_local_unless_it_says_its_zone():
    assert earlier_table("2026-05-14T18:30", "Europe/London") == datetime(2026, 5, 14, 17, 30, tzinfo=UTC)
    assert earlier_table("2026-05-14T18:30+02:00", "UTC") == datetime(2026, 5, 14, 16, 30, tzinfo=UTC)


def test_an_entry_by_its_number():
    assert earlier_table("#812", "UTC") == 812
    assert earlier_table(" 812 ", "UTC") == 812


@pytest.mark.parametrize("text", ["yesterday", "", "2026-13-01", "9999-12-31", "#-3"])
def test_anything_else_is_an_error_with_an_example(text):
    with pytest.raises(InputError, match="is no date"):
        earlier_table(text, "UTC")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("4", 4),
        ("4.5", 4.5),
        ("4½", 4.5),
        ("½", 0.5),
        ("-½", -0.5),
        ("−2½", -2.5),
        ("+1", 1),
        ("4 1/2", 4.5),
        (".5", 0.5),
        ("2¾", 2.75),
        ("0", 0),
    ],
)
def test_reads_marks_as_people_write_them(text, value):
    assert mark_of(text) == value


@pytest.mark.parametrize("text", ["", "x", "4,5", "nan", "inf", "1/0", "4 1/0", "--4", "4½½", "1e3"])
def test_refuses_what_is_no_mark(text):
    with pytest.raises(InputError, match="is no number of marks"):
        mark_of(text)


@given(st.integers(-80, 80))
def test_reads_back_what_the_pages_print(halves):
    assert mark_of(mark_text(halves / 2)) == halves / 2
