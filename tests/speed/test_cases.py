import pytest

from cringle.boat.base import Technique
from cringle.errors import InputError
from cringle.physics.sails import Arrangement, Gear
from cringle.speed.cases import KITE_HEEL_DEG, PLANING_FROUDE, Case, run_cases, upwind_case


def test_the_demo_has_soak_and_plane_twice_and_wing_once(class_file):
    names = [one.name for one in run_cases(class_file)]
    assert names == ["soak furled", "soak out", "wing furled", "plane furled", "plane out"]


def test_soak_ends_where_plane_begins(class_file):
    cases = {one.name: one for one in run_cases(class_file)}
    assert cases["soak out"].froude_high == cases["plane out"].froude_low == PLANING_FROUDE
    assert cases["wing furled"].arrangement is Arrangement.WING


def test_heel_bounds_are_those_of_the_class_file(class_file):
    cases = {one.name: one for one in run_cases(class_file)}
    for rule in class_file.techniques:
        case = cases[f"{rule.technique} furled"]
        assert (case.heel_low_deg, case.heel_high_deg) == (rule.heel_low_deg, rule.heel_high_deg)


def test_without_bounds_the_usual_ones_hold(class_file):
    for one in run_cases(class_file.model_copy(update={"techniques": ()})):
        assert (one.heel_low_deg, one.heel_high_deg) == KITE_HEEL_DEG


def test_without_a_set_of_three_sails_the_jib_is_furled(class_file):
    sets = tuple(one for one in class_file.sail_sets if one.id != "main+jib+kite")
    cases = run_cases(class_file.model_copy(update={"sail_sets": sets}))
    assert {one.jib for one in cases} == {"furled"}


def test_without_a_kite_there_is_no_technique(class_file):
    sets = tuple(one for one in class_file.sail_sets if one.point == "up")
    assert run_cases(class_file.model_copy(update={"sail_sets": sets})) == ()


def test_a_case_in_another_gear_is_named_after_it():
    up = upwind_case()
    assert up.in_gear(Gear.SETTLED) is up
    assert up.in_gear(Gear.BUILD).name == "up build"
    assert not up.kite


def test_bounds_the_wrong_way_round_are_refused():
    with pytest.raises(InputError, match="heel 9 to 1"):
        Case("x", Technique.SOAK, "out", heel_low_deg=9.0, heel_high_deg=1.0)
