"""Controls, screws and the backstay: scales go there and back, impossible ranges are refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from cringle.boat.boat_file import Backstay, BoatFile, Control, Screw
from cringle.boat.read import read_book_files
from cringle.errors import Finding

Spoil = Callable[[str, str, str], Finding]


def test_demo_boat_has_every_control_later_work_needs(examples: Path) -> None:
    boat = read_book_files(examples).boat_file
    wanted = "jib_sheet_port jib_sheet_starboard jib_halyard jib_track_port jib_track_starboard main_halyard"
    wanted += " mainsheet traveller cunningham outhaul vang backstay kite_sheet_port kite_sheet_starboard"
    wanted += " tack_line cap_port cap_starboard"
    for identifier in [*wanted.split(), "lower_port", "lower_starboard"]:
        assert boat.control(identifier) is not None, identifier


def test_a_turn_of_the_body_moves_the_sum_of_both_pitches(examples: Path) -> None:
    screw = next(one for one in read_book_files(examples).boat_file.screws if one.id == "cap_port")
    assert screw.mm_per_turn == pytest.approx(2.1167, abs=1e-4)  # 5/16-24, ASME B1.1: 25.4 / 24 twice


def test_scale_goes_there_and_back(examples: Path) -> None:
    control = read_book_files(examples).boat_file.controls[0]
    assert control.to_mark(control.to_mm(6.5)) == pytest.approx(6.5)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("low = 0\nhigh = 12", "low = 12\nhigh = 12", "must be less than high"),
        ("step = 0.5\nlow = 0\nhigh = 12", "step = 13\nlow = 0\nhigh = 12", "larger than the whole range"),
        ('id = "vang"', 'id = "outhaul"', "the same id stands at line"),
        ('time_zone = "Europe/London"', 'time_zone = "Europe/Tarrow"', "IANA"),
        ('pair = "jib_sheet_starboard"', 'pair = "jib_sheet_starbord"', "no such control"),
        ('wire = "cap"', 'wire = "caps"', "no such wire"),
        ('rule_state = "between races"', 'rule_state = "any time"', "laxer than class rule C.9.4"),
        ('class_name = "Ouzel"', 'class_name = "Dunlin"', "another class"),
        ("leg_m = 2.1632", "leg_m = 0.5", "longer than half_width_m"),
        ("made = 2025-03-20", "made = 2025-13-20", "not valid TOML"),
    ],
)
def test_mistakes_in_the_boat_file(spoil: Spoil, old: str, new: str, words: str) -> None:
    finding = spoil("boat.toml", old, new)
    assert words in str(finding)
    assert finding.line is not None


@pytest.fixture(scope="module")
def brindle(examples: Path) -> BoatFile:
    return read_book_files(examples).boat_file


@given(data=st.data(), mark=st.floats(-20.0, 20.0), further=st.floats(0.1, 10.0))
def test_scales_are_straight_and_go_there_and_back(
    brindle: BoatFile, data: st.DataObject, mark: float, further: float
) -> None:
    control = data.draw(st.sampled_from(brindle.controls))
    assert control.to_mark(control.to_mm(mark)) == pytest.approx(mark, abs=1e-9)
    step = control.to_mm(mark + further) - control.to_mm(mark)
    assert step == pytest.approx(further * control.mm_per_mark)
    assert control.to_mm(0.0) == control.datum_mm


def test_every_line_is_found_by_its_id_and_under_its_roles(brindle: BoatFile) -> None:
    for one in (*brindle.controls, *brindle.screws):
        assert brindle.control(one.id) is one
        for role in one.roles if isinstance(one, Control) else (one.role,):
            assert one in brindle.for_role(role)
    assert brindle.control("anchor") is None
    assert brindle.for_role("anchor") == []


def test_every_role_is_named_once(brindle: BoatFile) -> None:
    roles = brindle.roles()
    assert len(roles) == len(set(roles))
    assert all(brindle.for_role(role) for role in roles)
    assert {one.unit for one in brindle.controls} == {"mark"}
    assert {one.unit for one in brindle.screws} == {"turn"}


def test_a_screw_threaded_at_one_end_moves_by_its_one_pitch(brindle: BoatFile) -> None:
    screw = brindle.screws[0].model_copy(update={"pitch_lower_mm": 0.0})
    assert screw.mm_per_turn == screw.pitch_upper_mm


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"half_width_m": 3.0}, "longer than half_width_m"),
        ({"upper_leg_m": 40.0}, "shorter than masthead_to_transom_m"),
        ({"efficiency": 1.1}, "less than or equal to 1"),
        ({"purchase": 0}, "greater than or equal to 1"),
        ({"kind": "rope"}, "'ring' or 'line'"),
    ],
)
def test_a_backstay_that_cannot_close_is_refused(
    brindle: BoatFile, changed: dict[str, object], words: str
) -> None:
    assert brindle.backstay is not None
    with pytest.raises(ValidationError, match=words):
        Backstay.model_validate({**brindle.backstay.model_dump(), **changed})


@pytest.mark.parametrize("kind", [Control, Screw])
def test_a_range_that_is_none_is_refused(brindle: BoatFile, kind: type[Control] | type[Screw]) -> None:
    parts: tuple[Control | Screw, ...] = (*brindle.controls, *brindle.screws)
    one = next(part for part in parts if isinstance(part, kind))
    for changed in ({"low": one.high}, {"step": one.high - one.low + 0.5}, {"step": 0.0}):
        with pytest.raises(ValidationError):
            kind.model_validate({**one.model_dump(), **changed})
