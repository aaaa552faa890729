"""Hulls that cannot be, wires that end nowhere, limits upside down."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from cringle.boat.base import FileModel
from cringle.boat.class_file import Bulb, ClassFile, Foil, Hull, Limits, MastPanel, Sail, Spreader, Wire
from cringle.boat.read import read_book_files
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


@pytest.fixture(scope="module")
def ouzel(examples: Path) -> ClassFile:
    return read_book_files(examples).class_file


POSITIVE = {
    Hull: ("area_waterplane", "lcb", "lcf", "chine_beam", "planing_lcg", "freeboard", "beam_deck"),
    Foil: ("span", "chord_root", "chord_tip", "volume"),
    Bulb: ("length", "diameter", "volume", "mass"),
    Spreader: ("length", "E", "A", "I", "J"),
    MastPanel: ("E", "A", "I_fore_aft", "I_athwart", "J"),
    Wire: ("diameter_mm", "EA", "break_load", "mass_per_m", "base_tension"),
    Sail: ("area", "luff", "foot", "centre_height"),
    Limits: ("crew_mass_max", "wind_limit_kn"),
}


def part_of(ouzel: ClassFile, kind: type[FileModel]) -> FileModel:
    """Return one part of that kind."""
    parts: list[FileModel] = [
        ouzel.hull, ouzel.keel, ouzel.bulb, ouzel.rig.spreader, ouzel.rig.panels[0], ouzel.rig.wires[0],
        ouzel.sails[0], ouzel.limits,
    ]  # fmt: skip
    return next(one for one in parts if isinstance(one, kind))


@pytest.mark.parametrize(
    ("kind", "name"), [(kind, name) for kind, names in POSITIVE.items() for name in names]
)
@pytest.mark.parametrize("value", [0.0, -1.0])
def test_sizes_and_stiffnesses_are_more_than_nothing(
    ouzel: ClassFile, kind: type[FileModel], name: str, value: float
) -> None:
    whole = part_of(ouzel, kind).model_dump()
    assert kind.model_validate(whole)
    with pytest.raises(ValidationError) as caught:
        kind.model_validate({**whole, name: value})
    assert (name,) in [one["loc"] for one in caught.value.errors()]


@pytest.mark.parametrize("kind", POSITIVE)
@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_number_that_is_none_is_refused(ouzel: ClassFile, kind: type[FileModel], value: float) -> None:
    whole = part_of(ouzel, kind).model_dump()
    with pytest.raises(ValidationError):
        kind.model_validate({**whole, POSITIVE[kind][0]: value})


@pytest.mark.parametrize("kind", POSITIVE)
def test_a_field_that_nobody_knows_is_refused(ouzel: ClassFile, kind: type[FileModel]) -> None:
    with pytest.raises(ValidationError, match="colour"):
        kind.model_validate({**part_of(ouzel, kind).model_dump(), "colour": 1.0})


def test_a_hull_cannot_be_wider_than_long_nor_narrower_on_deck(ouzel: ClassFile) -> None:
    whole = ouzel.hull.model_dump()
    for changed, words in (
        ({"length_waterline": 3.2, "beam_waterline": 3.5, "beam_deck": 3.6}, "less than length_waterline"),
        ({"beam_deck": ouzel.hull.beam_waterline - 0.01}, "at least beam_waterline"),
        ({"lcb": ouzel.hull.length_waterline + 0.01}, "between 0 and length_waterline"),
        ({"lcf": ouzel.hull.length_waterline}, "between 0 and length_waterline"),
    ):
        with pytest.raises(ValidationError, match=words):
            Hull.model_validate({**whole, **changed})


@given(share=st.floats(0.2, 0.99))
def test_a_canoe_body_fits_in_its_box(ouzel: ClassFile, share: float) -> None:
    hull = ouzel.hull
    box = hull.length_waterline * hull.beam_waterline * hull.draft_canoe
    fits = Hull.model_validate({**hull.model_dump(), "volume_canoe": share * box})
    assert fits.volume_canoe < box
    with pytest.raises(ValidationError, match="more than its own box"):
        Hull.model_validate({**hull.model_dump(), "volume_canoe": (2.0 - share) * box})


def test_what_is_asked_by_name_is_found_or_is_none(ouzel: ClassFile) -> None:
    for one in ouzel.sail_sets:
        assert ouzel.sail_set(one.id) is one
    for other in ouzel.stations:
        assert ouzel.station(other.id) is other
    for rule in ouzel.control_rules:
        assert ouzel.rule_for(rule.role) == next(x for x in ouzel.control_rules if x.role == rule.role)
    assert ouzel.sail_set("spinnakers") is ouzel.station("masthead") is ouzel.rule_for("anchor") is None
