"""People within the class limits, in places that exist, in roles they can do."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.boat.base import Posture
from cringle.boat.read import read_book_files
from cringle.errors import Finding

Spoil = Callable[[str, str, str], Finding]


def test_height_in_centimetres_is_refused(spoil: Spoil) -> None:
    finding = spoil("crew.toml", "height_m = 1.70", "height_m = 170")
    assert finding.field == "people[1].height_m"
    assert "2.3" in finding.message


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("mass_kg = 92.0", "mass_kg = 150.0", "crew over the class limit"),
        ('posture = "legs in"', 'posture = "hike"', "more people hiking"),
        ('station = "rail_1"', 'station = "rail_2"', "rail_2 holds 1"),
        ('station = "rail_1"', 'station = "rial_1"', "did you mean 'rail_1'"),
        ('role = "forward"', 'role = "helm"', "not among roles"),
    ],
)
def test_mistakes_in_the_crew_file(spoil: Spoil, old: str, new: str, words: str) -> None:
    assert words in str(spoil("crew.toml", old, new))


def test_models_are_frozen(examples: Path) -> None:
    person = read_book_files(examples).crew_file.people[0]
    with pytest.raises(ValueError, match="frozen"):
        person.posture = Posture.HIKE  # type: ignore[misc]
