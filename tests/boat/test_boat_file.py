"""Controls, screws and the backstay: scales go there and back, impossible ranges are refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

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
