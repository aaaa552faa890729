from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.sails import SailKind
from cringle.speed import boat_parts


def test_the_floating_hull_weighs_what_boat_and_crew_weigh(class_file, demo):
    fluid = demo.around.fluid
    hull = boat_parts.hull_form(class_file, demo.crew, fluid)
    volume = hull.volume_canoe + boat_parts.appendage_volume(class_file)
    assert_allclose(volume * fluid.density, class_file.hull.mass + demo.crew.mass_kg)


def test_the_described_volume_is_that_of_the_described_crew(class_file, demo):
    hull = boat_parts.hull_form(class_file, demo.crew, demo.around.fluid)
    assert_allclose(hull.volume_canoe, class_file.hull.volume_canoe, rtol=0.005)


def test_a_heavier_crew_sinks_the_boat(class_file, demo):
    heavy = replace(demo.crew, mass_kg=345.0)
    deep = boat_parts.hull_form(class_file, heavy, demo.around.fluid)
    assert deep.draft_canoe > boat_parts.hull_form(class_file, demo.crew, demo.around.fluid).draft_canoe


def test_people_forward_move_the_centre_forward(class_file, demo):
    forward = replace(demo.crew, forward_m=0.3)
    here = boat_parts.hull_form(class_file, demo.crew, demo.around.fluid)
    moved = boat_parts.hull_form(class_file, forward, demo.around.fluid)
    assert_allclose(here.lcb_from_bow - moved.lcb_from_bow, 0.3 * 320.0 / (735.0 + 320.0))


def test_draft_is_the_documented_one(class_file):
    assert_allclose(boat_parts.appendages(class_file).draft, 1.351, atol=0.06)


def test_sails_come_by_kind_with_the_areas_of_the_class(class_file):
    found = boat_parts.sails(class_file)
    assert {kind: one.area for kind, one in found.items()} == {
        SailKind.MAIN: 14.0,
        SailKind.JIB: 10.6,
        SailKind.KITE: 42.0,
    }
    assert found[SailKind.MAIN].centre_forward < found[SailKind.JIB].centre_forward


def test_a_missing_point_of_the_rig_is_named(class_file):
    points = {name: place for name, place in class_file.rig.points.items() if name != "stem"}
    rig = class_file.rig.model_copy(update={"points": points})
    with pytest.raises(InputError, match="stem"):
        boat_parts.sails(class_file.model_copy(update={"rig": rig}))


def test_windage_grows_with_people(class_file, demo):
    four = boat_parts.windage(class_file, demo.crew, demo.around.air)
    five = boat_parts.windage(class_file, replace(demo.crew, people=5), demo.around.air)
    assert five.front_drag_area > four.front_drag_area > 1.0


def test_rudder_is_abaft_the_keel(demo):
    assert demo.yaw.rudder_forward < demo.yaw.lateral_centre_forward
    assert np.isfinite(demo.yaw.rudder_lift_slope)


def test_the_bulb_knows_its_volume_and_depth(class_file):
    parts = boat_parts.appendages(class_file)
    assert (parts.bulb.volume, parts.bulb.depth) == (0.0220, 1.29)
    assert_allclose(parts.keel.volume, 0.0370)


def test_what_a_step_forward_is_worth_goes_with_the_trim_response(class_file, demo):
    known, forward = demo.around.water, replace(demo.crew, forward_m=0.3)

    def drag(response):
        some = replace(known, trim_response=response)
        curves = boat_parts.hull_curves_of(class_file, forward, demo.around.fluid, some, demo.around.factors)
        return curves.drag(3.6, 0.0)

    here = demo.curves.drag(3.6, 0.0)
    assert_allclose(drag(0.0), here)
    assert drag(2.0) < drag(1.0) < here
