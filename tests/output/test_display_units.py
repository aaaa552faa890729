"""Sentences for readers of inches and pounds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.output.display_units import in_display_units, lines_in_display_units


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("one step is 12.7 mm of line", "one step is 0.50 in of line"),
        ("320 kg aboard, the class allows 345 kg", "705 lb aboard, the class allows 761 lb"),
        ("between 25.4 to 50.8 mm", "between 1.00 to 2.00 in"),
        ("cap shroud 2600 N", "cap shroud 585 lbf"),
        ("+1.3 mm off", "+0.05 in off"),
        ("moved −25.4 mm", "moved −1.00 in"),
        ("11 kn at 10 m, +4 m a minute", "11 kn at 10 m, +4 m a minute"),
        ("9000 N m of moment", "9000 N m of moment"),
        ("60 N/mm", "60 N/mm"),
        ("mm per mark", "mm per mark"),
    ],
)
def test_inch_and_pound(text: str, expected: str) -> None:
    assert in_display_units(text, "inch-pound") == expected


@given(st.text())
def test_metric_leaves_every_text_alone(text: str) -> None:
    assert in_display_units(text, "metric") == text


@given(st.floats(0, 1e5, allow_nan=False))
def test_a_length_there_and_back(length_mm: float) -> None:
    said = in_display_units(f"{length_mm:.3f} mm", "inch-pound")
    assert abs(float(said.removesuffix(" in")) * 25.4 - length_mm) <= 0.13


def test_lines() -> None:
    assert list(lines_in_display_units(["25.4 mm", "x"], "inch-pound")) == ["1.00 in", "x"]
