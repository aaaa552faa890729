from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.settings.pairs import advise_pair, paired_line, paired_role, paired_scale
from cringle.settings.roles import role_scales

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def boat():
    return read_book_files(EXAMPLES).boat_file


@pytest.fixture(scope="module")
def scales(boat):
    return role_scales(boat)


def test_the_other_duty_of_a_line(boat):
    assert paired_role(boat, "jib_sheet_leeward") == "jib_sheet_windward"
    assert paired_role(boat, "kite_sheet_windward") == "kite_sheet_leeward"
    assert paired_role(boat, "vang") is None
    assert paired_role(boat, "runner_leeward") is None


def test_the_other_side_of_a_line(boat):
    assert paired_line(boat, "jib_sheet_port").id == "jib_sheet_starboard"
    assert paired_line(boat, "cap_starboard").id == "cap_port"
    assert paired_line(boat, "vang") is None
    with pytest.raises(InputError, match="no control 'winch'"):
        paired_line(boat, "winch")


def test_what_one_sheet_gives_the_other_takes(scales):
    advice = advise_pair(scales["jib_sheet_windward"], moved_from=4.0, moved_to=5.0, other_now=8.0)
    assert (advice.start, advice.end, advice.steps, advice.word) == (8.0, 7.0, -2, "trim")
    assert advice.note is None


def test_screws_turn_the_same_way(scales):
    advice = advise_pair(scales["cap_shrouds"], moved_from=0.0, moved_to=1.0, other_now=0.0)
    assert (advice.end, advice.word) == (1.0, "tighten")


def test_marks_of_different_length_are_matched_and_rounded(scales):
    advice = advise_pair(
        scales["jib_sheet_windward"], moved_from=4.0, moved_to=5.0, other_now=8.0, mm_ratio=0.7
    )
    assert advice.end == 7.5


def test_stops_at_the_end_of_the_scale_with_a_word(scales):
    advice = advise_pair(scales["jib_sheet_windward"], moved_from=5.0, moved_to=3.0, other_now=11.5)
    assert (advice.end, advice.steps) == (12.0, 1)
    assert "top, 12" in advice.note


def test_the_scale_of_the_other_and_its_marks(boat):
    by_role, same = paired_scale(boat, "jib_sheet_leeward")
    assert (by_role.role, same) == ("jib_sheet_windward", 1.0)
    screw, turns = paired_scale(boat, "cap_port")
    assert (screw.role, screw.name, screw.unit, turns) == (
        "cap_starboard",
        "Cap shroud screw, starboard",
        "turn",
        1.0,
    )
    longer = [
        one.model_copy(update={"mm_per_mark": 50.0}) if one.id == "jib_sheet_starboard" else one
        for one in boat.controls
    ]
    uneven = boat.model_copy(update={"controls": tuple(longer)})
    assert paired_scale(uneven, "jib_sheet_port")[1] == 0.5
    with pytest.raises(InputError, match="forestay_screw is not one of a pair"):
        paired_scale(boat, "forestay_screw")
    with pytest.raises(InputError, match=r"did you mean 'cap_port'\?"):
        paired_scale(boat, "cap_prt")
