from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from cringle.errors import InputError
from cringle.workflows.speed.crew import speed_crew, speed_depower
from cringle.workflows.speed.open import SpeedAsked, open_speed
from cringle.workflows.speed.print import about_words, print_places, print_speed
from cringle.workflows.speed.speed import speed_polar, speed_targets, speed_techniques

FEW = SpeedAsked(members=2)
WINDS = [8.0, 14.0]
ANSWERS = {
    "targets": lambda folder: speed_targets(folder, WINDS, asked=FEW),
    "techniques": lambda folder: speed_techniques(folder, WINDS, asked=FEW),
    "polar": lambda folder: speed_polar(folder, WINDS, step_deg=20.0, cases=["up"]),
    "crew": lambda folder: speed_crew(folder, WINDS, asked=FEW),
    "depower": lambda folder: speed_depower(folder, asked=FEW),
}
WORDS = {
    "targets": "Targets, ",
    "techniques": "Techniques for the run, ",
    "polar": "Polar, ",
    "crew": "Price of heel, ",
    "depower": "Order of depowering, ",
}


@pytest.mark.parametrize("name", ANSWERS)
def test_every_answer_becomes_a_picture_that_says_whose_it_is(
    name: str, examples: Path, tmp_path: Path
) -> None:
    found = ANSWERS[name](examples)
    path = print_speed(found, tmp_path / f"{name}.svg")
    svg = path.read_text(encoding="utf-8")
    assert ET.fromstring(svg).tag.endswith("svg")
    assert WORDS[name] + about_words(found.book) in svg
    assert "NaN" not in svg
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        print_speed(found, tmp_path / f"{name}.gif")
    assert not (tmp_path / f"{name}.gif").exists()


def test_the_deck_plan_is_of_the_middle_wind(examples: Path, tmp_path: Path) -> None:
    found = speed_crew(examples, [6.0, 12.0, 18.0], asked=FEW)
    svg = print_places(found, tmp_path / "deck.svg").read_text(encoding="utf-8")
    assert "Places upwind in 12 kn" in svg
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        print_places(found, tmp_path / "deck.gif")


def test_boat_people_and_sea_in_a_few_words(examples: Path) -> None:
    book = open_speed(examples, SpeedAsked(sea="flat"))
    name = book.files.boat_file.boat.name
    assert about_words(book) == f"{name}, {book.crew.mass_kg:.0f} kg, flat"
