from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError, RuleError
from cringle.physics.sails import SailKind
from cringle.speed.factors import Factors
from cringle.speed.model import SpeedModel, Surroundings


def test_the_demo_is_inside_the_range_of_every_method(demo):
    assert demo.range_notes == ()


def test_a_high_sea_on_a_long_range_note(class_file, crew_file):
    short = class_file.hull.model_copy(update={"length_waterline": 4.6, "lcb": 2.2, "lcf": 2.1})
    model = SpeedModel.from_files(class_file.model_copy(update={"hull": short}), crew_file)
    assert any("length" in note or "slenderness" in note for note in model.range_notes)


def test_righting_moment_upright_is_the_crew_alone(demo):
    assert_allclose(demo.hull_moment(0.0), 0.0, atol=1e-9)
    assert_allclose(demo.most_moment(0.0), 320.0 * 9.80665 * demo.crew.hike_m)
    assert demo.least_moment(0.0) < 0.0


def test_righting_moment_rises_with_heel(demo):
    heel = np.radians(np.arange(0.0, 30.0))
    assert (np.diff(demo.hull_moment(heel)) > 0.0).all()
    assert (demo.most_moment(heel) > demo.least_moment(heel)).all()


def test_a_fitted_righting_moment_scales_the_hull_and_not_the_people(demo):
    stiff = demo.with_around(replace(demo.around, factors=Factors(righting_moment=1.1)))
    assert_allclose(stiff.hull_moment(0.2), 1.1 * demo.hull_moment(0.2))
    assert_allclose(stiff.most_moment(0.0), demo.most_moment(0.0))


def test_a_crew_over_the_limit_is_refused_with_the_rule(class_file, demo):
    with pytest.raises(RuleError, match=r"346.*C\.3\.1"):
        SpeedModel.from_files(class_file, replace(demo.crew, mass_kg=346.0))


def test_an_unknown_sea_lists_those_there_are():
    with pytest.raises(InputError, match=r"storm[\s\S]*flat, chop, waves"):
        Surroundings(sea="storm")


def test_an_unknown_case_lists_those_there_are(demo):
    with pytest.raises(InputError, match=r"goosewing[\s\S]*plane out"):
        demo.case("goosewing")
    assert demo.case("up") is demo.upwind


def test_a_missing_sail_is_named(demo):
    poor = replace(demo, sails={SailKind.MAIN: demo.sails[SailKind.MAIN]})
    with pytest.raises(InputError, match="no jib and no kite"):
        poor.sail_set(demo.case("plane out"))


def test_an_impossible_hull_is_refused(class_file, crew_file):
    thin = class_file.hull.model_copy(update={"area_waterplane": 30.0})
    with pytest.raises(InputError, match="area_waterplane"):
        SpeedModel.from_files(class_file.model_copy(update={"hull": thin}), crew_file)


def test_sails_of_a_case_are_tabulated_once(demo):
    assert demo.air(demo.case("soak out")) is demo.air(demo.case("plane out"))
    assert demo.air(demo.case("wing furled")) is not demo.air(demo.case("plane furled"))


def test_the_sea_grows_with_the_wind_up_to_the_limit_of_the_method(demo):
    wind = np.array([0.0, 3.0, 6.0])
    assert_allclose(demo.wave_drag(wind), demo.wave_drag(6.0) * np.array([0.0, 0.25, 1.0]))
    assert demo.with_sea("flat").wave_drag(6.0) < demo.wave_drag(6.0) < demo.with_sea("waves").wave_drag(6.0)
    rough = demo.with_sea("waves")
    assert_allclose(rough.wave_drag([15.0, 25.0]), rough.wave_drag(8.0))
    assert 12.0 < rough.sea_limit_kn < 15.0
    assert any("from 13 kn" in note for note in rough.range_notes)


def test_a_copy_in_another_sea_leaves_the_first_alone(demo):
    flat = demo.with_sea("flat")
    assert (flat.around.sea, demo.around.sea) == ("flat", "chop")
    assert demo.with_crew(demo.crew).crew == demo.crew
