"""Numbers of the models as pages write them."""

from __future__ import annotations

import math

import pytest

from cringle.web.figures import decimals, ends, first_up, half, signed_whole, spoken, whole


@pytest.mark.parametrize(
    ("value", "text"), [(3.6, "4"), (-3.4, "−3"), (-0.2, "0"), (None, "–"), (math.nan, "–")]
)
def test_whole_numbers(value: float | None, text: str) -> None:
    assert whole(value) == text


def test_decimals_are_as_many_as_asked_for() -> None:
    assert decimals(5.26, 1) == "5.3"
    assert decimals(-5.26, 1) == "−5.3"


@pytest.mark.parametrize(("value", "text"), [(14.2, "+14"), (-3.6, "−4"), (0.3, "0"), (-0.3, "0")])
def test_changes_carry_their_sign(value: float, text: str) -> None:
    assert signed_whole(value).lstrip("+") == text.lstrip("+")
    assert (signed_whole(value)[0] == "+") == (value >= 0.5)


@pytest.mark.parametrize(("value", "text"), [(8.37, "8½"), (9.56, "9½"), (12.9, "13"), (None, "–")])
def test_winds_are_said_to_half_a_knot(value: float | None, text: str) -> None:
    assert half(value) == text


def test_an_interval_stands_in_brackets() -> None:
    row = {"vmg_kn": 5.26, "vmg_kn_low": 5.0, "vmg_kn_high": 5.5, "heel_deg": None}
    assert ends(row, "vmg_kn", 1) == "5.3 [5.0 to 5.5]"
    assert ends({"vmg_kn": 5.26}, "vmg_kn", 1) == "5.3"
    assert ends(row, "heel_deg") == "–"


def test_words() -> None:
    assert first_up("sail higher") == "Sail higher"
    assert first_up("") == ""
    assert spoken("cap_port") == "cap port"
