from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.boat.base import Posture
from cringle.errors import InputError, RuleError
from cringle.speed.crew_load import CrewLoad, body_place, check_crew, crew_load

LOAD = CrewLoad(320.0, 1.2, 0.9, 0.75, 0.6, 0.8)


def with_people(crew_file, **changes):
    people = tuple(one.model_copy(update=changes) for one in crew_file.people)
    return crew_file.model_copy(update={"people": people})


def test_upright_on_the_centreline_no_moment():
    assert LOAD.moment(0.0, 0.0) == 0.0


def test_upright_at_full_hike_mass_times_gravity_times_arm():
    assert_allclose(LOAD.moment(1.2, 0.0), 320.0 * 9.80665 * 1.2)


def test_height_is_that_of_each_end():
    assert_allclose(LOAD.height([1.2, 0.0, -0.6]), [0.9, 0.75, 0.8])


@given(st.floats(-0.6, 1.2), st.floats(-0.1, 0.6))
def test_place_for_a_moment_is_its_inverse(place, heel):
    assert_allclose(LOAD.place_for(LOAD.moment(place, heel), heel), place, atol=1e-9)


@given(st.floats(0.0, 0.5))
def test_further_out_more_moment(heel):
    assert (np.diff(LOAD.moment(np.linspace(-0.6, 1.2, 30), heel)) > 0.0).all()


@pytest.mark.parametrize("name", ["mass_kg", "hike_m", "leeward_m"])
def test_a_load_without_mass_or_arm_is_refused(name):
    with pytest.raises(InputError, match=name):
        replace(LOAD, **{name: 0.0})


def test_the_demo_crew_sits_where_the_class_file_says(class_file, crew_file):
    load = crew_load(class_file, crew_file)
    assert load.mass_kg == crew_file.mass_kg == 320.0
    assert load.people == 4
    assert 1.05 < load.hike_m < 1.35  # between the rail and a body length outside it
    assert 0.0 < load.leeward_m < 0.75


def test_hiking_is_worth_a_hand_or_more_outboard_of_legs_in(class_file, crew_file):
    tobias = crew_file.people[1]
    out = body_place(class_file, tobias, station="rail_2", posture=Posture.HIKE)
    inside = body_place(class_file, tobias, station="rail_2", posture=Posture.LEGS_IN)
    assert 0.15 < out.off_centre_m - inside.off_centre_m < 0.45
    assert out.forward_m == inside.forward_m == 2.10


def test_to_leeward_counts_negative(class_file, crew_file):
    low = body_place(class_file, crew_file.people[2], station="leeward_1", posture=Posture.LEEWARD_FORWARD)
    assert low.off_centre_m < -0.6


def test_an_unknown_station_is_named_with_those_there_are(class_file, crew_file):
    with pytest.raises(InputError, match=r"crow_nest[\s\S]*rail_1"):
        body_place(class_file, crew_file.people[0], station="crow_nest", posture=Posture.HIKE)


def test_a_posture_the_station_does_not_allow_is_refused(class_file, crew_file):
    with pytest.raises(RuleError, match="hatch does not allow posture hike"):
        body_place(class_file, crew_file.people[0], station="hatch", posture=Posture.HIKE)


def test_a_posture_without_geometry_is_named(class_file, crew_file):
    bare = class_file.model_copy(update={"postures": class_file.postures[:1]})
    with pytest.raises(InputError, match="legs in"):
        body_place(bare, crew_file.people[0], station="rail_1", posture=Posture.LEGS_IN)


def test_three_hiking_is_against_the_rule(class_file, crew_file):
    with pytest.raises(RuleError, match=r"4 people hiking.*C\.3\.4"):
        check_crew(class_file, with_people(crew_file, posture=Posture.HIKE))


def test_too_heavy_is_against_the_rule(class_file, crew_file):
    with pytest.raises(RuleError, match=r"400 kg.*345.*C\.3\.1"):
        check_crew(class_file, with_people(crew_file, mass_kg=100.0))


def test_too_few_is_against_the_rule(class_file, crew_file):
    two = crew_file.model_copy(update={"people": crew_file.people[:2]})
    with pytest.raises(RuleError, match="2 people"):
        check_crew(class_file, two)


def test_hiking_ahead_of_the_shrouds_is_against_the_rule(class_file, crew_file):
    people = list(crew_file.people)
    people[1] = people[1].model_copy(update={"station": "foredeck"})
    moved = crew_file.model_copy(update={"people": tuple(people)})
    with pytest.raises(RuleError, match="Tobias"):
        check_crew(class_file, moved)


def test_a_class_without_a_leeward_station_still_has_a_leeward_side(class_file, crew_file):
    stations = tuple(one for one in class_file.stations if one.y >= 0.0)
    load = crew_load(class_file.model_copy(update={"stations": stations}), crew_file)
    assert load.leeward_m > 0.3
