from __future__ import annotations

import pytest

from cringle.settings.records import TonightRequest
from cringle.web.asked import TonightAsked, asked_of, fields_of


def test_empty_fields_are_left_out_and_a_comma_is_a_point() -> None:
    query = [
        ("wind_kn", "10,5"),
        ("low_kn", ""),
        ("aboard", "Ines"),
        ("aboard", " Guest=68 "),
        ("sea", "flat"),
        ("x", "y"),
    ]
    request, errors = asked_of(query)
    assert errors == {}
    assert request == TonightRequest(wind_kn=10.5, sea="flat", aboard=("Ines", "Guest=68"))


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ([("wind_kn", "99")], "wind_kn"),
        ([("wind_kn", "inf")], "wind_kn"),
        ([("wind_kn", "9"), ("sea", "storm")], "sea"),
        ([("wind_kn", "9"), ("low_kn", "3")], ""),
        ([("wind_kn", "9"), ("gust_kn", "3")], ""),
        ([], ""),
    ],
)
def test_what_is_wrong_is_said_by_field(query: list[tuple[str, str]], field: str) -> None:
    request, errors = asked_of(query)
    assert request is None
    assert list(errors) == [field]
    assert errors[field]


def test_fields_show_what_was_typed_else_what_stands() -> None:
    request = TonightRequest(low_kn=8, high_kn=12.5, sea="waves")
    found = fields_of(request, {"wind_kn": "99", "other": "x"})
    assert (found["wind_kn"], found["high_kn"], found["gust_kn"], found["sea"]) == ("99", "12.5", "", "waves")
    assert fields_of(request, {})["wind_kn"] == "10.25"
    assert "other" not in found


def test_the_form_and_the_request_have_the_same_fields() -> None:
    asked = TonightAsked(wind_kn=9, aboard=["Ines"])
    assert asked.request() == TonightRequest(wind_kn=9.0, aboard=("Ines",))
