from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.settings.places import places

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def files():
    return read_book_files(EXAMPLES)


@pytest.mark.parametrize(
    "posture", [None, "hike", "legs in", "centreline", "hatch", "aft", "leeward forward"]
)
def test_nobody_sits_where_the_class_does_not_let_them(files, posture):
    seats = places(files.class_file, files.crew_file.people, posture)
    assert [one.person for one in seats] == ["Ines", "Tobias", "Marit", "Keo"]
    for seat in seats:
        station = files.class_file.station(seat.station)
        assert seat.posture in {one.value for one in station.postures}
        assert sum(other.station == seat.station for other in seats) <= station.capacity
        assert not station.ahead_of_shrouds
    assert sum(one.posture == "hike" for one in seats) <= files.class_file.limits.hiking_max


def test_hike_keeps_the_usual_places(files):
    people = files.crew_file.people
    assert places(files.class_file, people, "hike") == places(files.class_file, people, None)


def test_legs_in_brings_everybody_in(files):
    assert {one.posture for one in places(files.class_file, files.crew_file.people, "legs in")} == {"legs in"}


def test_who_may_not_leave_the_rail_stays(files):
    seats = places(files.class_file, files.crew_file.people, "centreline")
    assert (seats[0].person, seats[0].station, seats[0].posture) == ("Ines", "rail_4", "legs in")
    assert {one.station for one in seats[1:]} <= {"centre", "stern"}
