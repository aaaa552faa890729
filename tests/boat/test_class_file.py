"""Hulls that cannot be, wires that end nowhere, limits upside down."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from cringle.errors import Finding

Spoil = Callable[[str, str, str], Finding]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("cp = 0.560", "cp = 5.60", "less than 0.75"),
        ("volume_canoe = 0.988", "volume_canoe = 3.9", "more than its own box"),
        ("area = 14.0", "area = -14.0", "greater than 0"),
        ('end = "hounds"', 'end = "hound"', "did you mean 'hounds'"),
        ("crew_min = 3", "crew_min = 6", "crew_min must not be more"),
        ("rail_2 = 1.0,", "rail_9 = 1.0,", "no such station"),
        ("heel_low_deg = 5.0", "heel_low_deg = 9.0", "heel_low_deg must not"),
        ("half_entrance_deg = 14.0", "", "missing field"),
    ],
)
def test_mistakes_in_the_class_file(spoil: Spoil, old: str, new: str, words: str) -> None:
    assert words in str(spoil("class.toml", old, new))
