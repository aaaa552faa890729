from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.boat.base import RuleState
from cringle.boat.read import read_book_files
from cringle.settings.roles import (
    RoleScale,
    fit_to_scale,
    role_name,
    role_scales,
    round_to_step,
    steps_between,
    who_works,
)

EXAMPLES = Path(__file__).parents[2] / "examples"


def scale(**changes):
    first = {
        "role": "vang",
        "name": "vang",
        "unit": "mark",
        "low": 0.0,
        "high": 12.0,
        "step": 0.5,
        "worked_by": "main",
        "more": "harder",
        "rule_state": RuleState.ANY_TIME,
    }
    return RoleScale(**{**first, **changes})


@pytest.fixture(scope="module")
def files():
    return read_book_files(EXAMPLES)


@pytest.mark.parametrize(
    ("value", "step", "expected"),
    [
        (4.24, 0.5, 4.0),
        (4.25, 0.5, 4.5),
        (-0.25, 0.5, 0.0),
        (-0.26, 0.5, -0.5),
        (3.7, 1.0, 4.0),
        (0.1 + 0.2, 0.3, 0.3),
    ],
)
def test_rounds_to_the_nearest_step(value, step, expected):
    assert_allclose(round_to_step(value, step), expected, atol=1e-12)


@given(st.floats(-100, 100), st.sampled_from([0.25, 0.5, 1.0, 2.0]))
def test_rounding_moves_at_most_half_a_step(value, step):
    rounded = round_to_step(value, step)
    assert abs(rounded - value) <= step / 2 + 1e-9
    assert_allclose(rounded / step, round(rounded / step), atol=1e-9)


def test_zero_is_never_negative():
    assert str(round_to_step(-0.1, 0.5)) == "0.0"


def test_keeps_a_number_inside_its_range_and_says_so():
    assert fit_to_scale(11.9, scale()).note is None
    high = fit_to_scale(13.0, scale())
    assert high.value == 12.0
    assert high.note == "vang: 13 is off the scale, kept at its top, 12"
    low = fit_to_scale(-1.0, scale())
    assert low.value == 0.0
    assert "bottom, 0" in low.note


def test_range_that_ends_between_steps_ends_at_the_last_whole_step():
    assert fit_to_scale(9.0, scale(high=7.8, low=0.2)).value == 7.5
    assert fit_to_scale(0.0, scale(high=7.8, low=0.2)).value == 0.5


def test_counts_whole_steps():
    assert steps_between(4.5, 3.0, 0.5) == -3
    assert steps_between(0.0, 0.9, 0.3) == 3


def test_reads_roles_aloud():
    assert role_name("jib_sheet_leeward") == "jib sheet, leeward"
    assert role_name("kite_sheet_windward") == "kite sheet, windward"
    assert role_name("cap_shrouds") == "cap shrouds"


def test_word_for_each_way():
    assert scale(more="eased").motion(1) == "ease"
    assert scale(more="eased").motion(-1) == "trim"


def test_scales_of_a_boat_follow_its_file(files):
    scales = role_scales(files.boat_file)
    assert list(scales)[:2] == ["jib_sheet_leeward", "jib_sheet_windward"]
    assert scales["traveller"].low == -8.0
    assert scales["cap_shrouds"].unit == "turn"
    assert scales["cap_shrouds"].is_rig
    assert scales["forestay"].rule_state is RuleState.ASHORE
    assert not scales["vang"].is_rig
    assert set(role_scales(files.boat_file, ["vang", "no_such"])) == {"vang"}


def test_a_pair_has_the_range_both_sides_have(files):
    controls = [
        one.model_copy(update={"high": 10.0, "step": 1.0}) if one.id == "jib_sheet_port" else one
        for one in files.boat_file.controls
    ]
    boat = files.boat_file.model_copy(update={"controls": tuple(controls)})
    found = role_scales(boat)["jib_sheet_leeward"]
    assert (found.high, found.step) == (10.0, 1.0)


def test_who_works_a_role_tonight(files):
    people = files.crew_file.people
    assert who_works("jib", people) == "Marit"
    without = [one for one in people if one.name != "Marit"]
    assert who_works("jib", without) == "Tobias"
    assert who_works("jib", [one for one in people if one.name == "Ines"]) is None


def test_the_class_rule_counts_when_the_boat_says_nothing_or_less(files):
    screws = [one.model_copy(update={"rule_state": RuleState.UNKNOWN}) for one in files.boat_file.screws]
    boat = files.boat_file.model_copy(update={"screws": tuple(screws)})
    assert role_scales(boat)["forestay"].rule_state is RuleState.UNKNOWN
    assert role_scales(boat, rules=files.class_file)["forestay"].rule_state is RuleState.ASHORE
    assert role_scales(boat, rules=files.class_file)["cap_shrouds"].is_rig
