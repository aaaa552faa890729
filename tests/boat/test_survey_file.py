"""The survey speaks of controls that exist."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from cringle.boat.read import read_book_files
from cringle.errors import Finding

Spoil = Callable[[str, str, str], Finding]


def test_survey_names_controls_that_exist(spoil: Spoil) -> None:
    finding = spoil("survey.toml", '"jib_sheet_port", "jib_sheet_starboard"]', '"jib_sheet_prt"]')
    assert finding.nearest == "jib_sheet_port"


def test_items_and_checks_are_found_by_id(examples: Path) -> None:
    survey = read_book_files(examples).survey_file
    item = survey.item("screw_locks")
    assert item is not None
    assert item.category == "essential"
    assert survey.item("nothing") is None
    assert {one.id for one in survey.departure} >= {"kite_packed", "buoyancy_aids", "who_swims"}


def test_a_forbidden_item_may_stand_in_the_file(examples: Path) -> None:
    allowed = {one.id: one.allowed for one in read_book_files(examples).survey_file.items}
    assert allowed["keel_section"] == "no"


def test_an_item_twice_is_a_mistake(spoil: Spoil) -> None:
    assert "the same id" in str(spoil("survey.toml", 'id = "jib_change"', 'id = "rail_sheeting"'))
