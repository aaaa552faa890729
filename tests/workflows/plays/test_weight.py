"""Weight and heel of a play, from the class file and the speed model."""

from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.plays.play_file import Spot
from cringle.speed.model import SpeedModel
from cringle.workflows.plays.open import hands_of, open_playbook, spare_spot
from cringle.workflows.plays.weight import off_centre_of, roll_of, weight_of


@pytest.fixture
def book(book_folder):
    return open_playbook(book_folder)


def test_the_boat_in_roll_is_a_small_keelboat(book):
    model = SpeedModel.from_files(book.files.class_file, book.files.crew_file)
    roll = roll_of(book.files, model)
    assert 1.0 < roll.period_s < 4.0
    assert roll.stiffness > 5_000.0


def test_hiking_counts_more_than_sitting_in_and_low_counts_against(book):
    off = off_centre_of(book.files)
    keo = hands_of(book.files.crew_file)[3]
    arms = [
        off(keo, Spot(station=station, posture=posture))
        for station, posture in (
            ("leeward_1", "leeward forward"),
            ("hatch", "hatch"),
            ("rail_1", "legs in"),
            ("rail_1", "hike"),
        )
    ]
    assert arms == sorted(arms)
    assert arms[0] < 0.0 == arms[1]


def test_a_spare_hand_has_a_body(book):
    off = off_centre_of(book.files)
    from cringle.plays.crew import Hand

    spare = Hand("hand_5", "Hand 5", "spare", ("jib",), at=spare_spot(book.files.class_file))
    assert off(spare, Spot(station="rail_2", posture="hike")) > 1.0


def test_heel_of_the_play_file_without_a_wind(book_folder):
    _, strip = weight_of(book_folder, "set_straight")
    assert strip.source == "play file"
    assert_allclose(strip.steady_deg[[0, -1]], [10.0, 6.0], atol=1e-6)


def test_heel_of_the_speed_model_with_a_wind(book_folder):
    _, strip = weight_of(book_folder, "set_straight", wind_kn=12.0)
    assert strip.source == "speed model"
    assert 3.0 < strip.steady_deg[0] < 25.0


def test_a_wind_the_play_is_not_for(book_folder):
    with pytest.raises(InputError, match="is for 6 to 16 kn, not for 20 kn"):
        weight_of(book_folder, "soak_to_wing", wind_kn=20.0)
