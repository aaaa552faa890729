from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.output.wording import (
    html_text,
    mark_text,
    printable,
    real_minus,
    role_text,
    shortened,
    signed_text,
    typst_string,
    with_unit,
)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (0.5, "½"),
        (-0.5, "−½"),
        (4.5, "4½"),
        (-1.25, "−1¼"),
        (7.75, "7¾"),
        (12.0, "12"),
        (3.3, "3.3"),
        (2.9999999999, "3"),
        (math.nan, "–"),
    ],
)
def test_halves_have_their_own_sign(value: float, text: str) -> None:
    assert mark_text(value) == text


@given(st.integers(-400, 400))
def test_quarters_read_back(quarters: int) -> None:
    text = mark_text(quarters / 4).replace("−", "-")
    parts = {"¼": 0.25, "½": 0.5, "¾": 0.75}
    last = parts.get(text[-1], 0.0)
    digits = text.rstrip("¼½¾")
    whole = 0.0 if digits in ("", "-") else abs(float(digits))
    assert (whole + last) * (-1 if text.startswith("-") else 1) == quarters / 4


def test_changes_carry_a_sign() -> None:
    assert [signed_text(one) for one in (1.5, 0.0, -2.0)] == ["+1½", "0", "−2"]


def test_units_are_said() -> None:
    assert with_unit(1.0, "mark") == "1 mark"
    assert with_unit(4.5, "mark") == "4½ marks"
    assert with_unit(2.0, "turn") == "2 turns"
    assert with_unit(3.0, "mm") == "3 mm"


def test_roles_as_a_person_says_them() -> None:
    assert role_text("jib_sheet_leeward") == "Jib sheet, leeward"
    assert role_text("kite_sheet_windward") == "Kite sheet, windward"
    assert role_text("vang") == "Vang"


def test_long_texts_end_in_an_ellipsis() -> None:
    assert shortened("abc", 3) == "abc"
    assert shortened("a bc", 3) == "a…"


def test_what_cannot_be_printed_is_left_out() -> None:
    assert printable("a\n\tb\x00c  d") == "a b c d"


@pytest.mark.parametrize(
    "text", ['"', "\\", '\\"', "#panic()", "$x$", "*bold*", "]", "\\u{0041}", '" + read("x") + "', "`raw`"]
)
def test_nothing_ends_a_string_early(text: str) -> None:
    literal = typst_string(text)
    inside = literal[1:-1].replace("\\\\", "").replace('\\"', "")
    assert literal[0] == literal[-1] == '"'
    assert '"' not in inside
    assert "\\" not in inside


def test_html_is_escaped_in_text_and_in_attributes() -> None:
    assert html_text("<a href='x'>&\"") == "&lt;a href=&#x27;x&#x27;&gt;&amp;&quot;"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("sag -2.0 mm", "sag −2.0 mm"),
        ("(-3 to -1)", "(−3 to −1)"),
        ("on 2026-06-17", "on 2026-06-17"),
        ("three-way, 4-6 kn", "three-way, 4-6 kn"),
        ("--cap -1", "--cap −1"),
        ("[-2 -0] and -0.0 mm", "[−2 0] and 0.0 mm"),
        ("-0.5, -0.05, -03", "−0.5, −0.05, −03"),
    ],
)
def test_negative_numbers_get_a_minus_sign(text: str, said: str) -> None:
    assert real_minus(text) == said
