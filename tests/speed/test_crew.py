from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.boat.base import Posture
from cringle.speed.crew import changes, crew_worth
from cringle.speed.crew_load import crew_load
from cringle.speed.ensemble import members

WINDS = np.array([5.0, 11.0, 16.0])


@pytest.fixture(scope="module")
def worth(demo, class_file, crew_file):
    wanted = changes(class_file, crew_file, demo.crew)
    return {
        (one.change.key, one.point): one
        for one in crew_worth(demo, members(demo, count=12), WINDS, wanted=wanted)
    }


def test_every_change_is_priced_up_and_down(worth):
    assert {key for key, _ in worth} == {"ten_kg", "one_person", "one_posture", "forward", "aft"}
    assert {point for _, point in worth} == {"up", "down"}


def test_weight_loses_in_light_air_and_gains_in_strong_wind(worth):
    more = worth["ten_kg", "up"]
    assert more.s_per_mile_90.low[0] > 0.0
    assert more.s_per_mile_90.high[2] < 0.0


def test_sitting_in_costs_only_when_the_weight_is_needed(worth):
    less = worth["one_posture", "up"]
    assert_allclose(less.s_per_mile[0], 0.0, atol=0.05)
    assert less.s_per_mile_90.low[2] > 0.0


def test_forward_and_aft_have_opposite_signs_in_light_air(worth):
    assert worth["forward", "up"].s_per_mile[0] < 0.0 < worth["aft", "up"].s_per_mile[0]


def test_more_weight_is_taken_away_where_the_class_has_no_room(class_file, crew_file):
    heavy = crew_load(class_file, _with_mass(crew_file, 84.0))
    found = changes(class_file, crew_file, heavy)[0]
    assert found.words == "-10 kg of crew"
    assert found.load.mass_kg == heavy.mass_kg - 10.0


def test_nobody_is_left_ashore_below_the_least_crew(class_file, crew_file):
    three = crew_file.model_copy(update={"people": crew_file.people[:3]})
    keys = [one.key for one in changes(class_file, three, crew_load(class_file, three))]
    assert "one_person" not in keys


def test_without_anybody_hiking_there_is_no_posture_to_change(class_file, crew_file):
    people = tuple(one.model_copy(update={"posture": Posture.LEGS_IN}) for one in crew_file.people)
    sitting = crew_file.model_copy(update={"people": people})
    keys = [one.key for one in changes(class_file, sitting, crew_load(class_file, sitting))]
    assert "one_posture" not in keys


def test_the_posture_moved_is_the_real_place_of_that_person(class_file, crew_file, demo):
    found = {one.key: one for one in changes(class_file, crew_file, demo.crew)}["one_posture"]
    people = tuple(
        one.model_copy(update={"posture": Posture.LEGS_IN}) if one.name == "Tobias" else one
        for one in crew_file.people
    )
    seated = crew_load(class_file, crew_file.model_copy(update={"people": people}))
    assert "Tobias" in found.words
    assert_allclose(found.load.hike_m, seated.hike_m)
    assert_allclose(found.load.hike_height_m, seated.hike_height_m)


def _with_mass(crew_file, mass_kg):
    people = tuple(one.model_copy(update={"mass_kg": mass_kg}) for one in crew_file.people)
    return crew_file.model_copy(update={"people": people})
