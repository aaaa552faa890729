from __future__ import annotations

from pathlib import Path

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import InputError, OutOfRangeError
from cringle.settings.aboard import people_aboard

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def crew():
    return read_book_files(EXAMPLES).crew_file


def test_everybody_when_nobody_is_named(crew):
    assert people_aboard(crew, ()) == crew.people


def test_by_name_or_id_in_the_order_of_the_file(crew):
    assert [one.name for one in people_aboard(crew, ["KEO", "ines"])] == ["Ines", "Keo"]


def test_a_guest_takes_the_first_free_place(crew):
    people = people_aboard(crew, ["Ines", "Tobias", "Keo", "Pål Ås=70"])
    guest = next(one for one in people if one.name == "Pål Ås")
    assert (guest.mass_kg, guest.role, guest.station) == (70.0, "jib", "rail_3")
    assert [one.name for one in people] == ["Ines", "Tobias", "Pål Ås", "Keo"]


def test_a_name_nobody_has_names_the_nearest(crew):
    with pytest.raises(InputError, match=r"nobody of the crew is called 'Mart'.*did you mean 'Marit'\?"):
        people_aboard(crew, ["Mart"])


@pytest.mark.parametrize("guest", ["Pal=", "Pal=heavy", "Pal=12", "Pal=nan", "=70"])
def test_a_guest_needs_a_name_and_a_weight(crew, guest):
    with pytest.raises(OutOfRangeError, match="weight of guest"):
        people_aboard(crew, ["Ines", guest])


def test_twice_the_same_person_and_too_many_guests(crew):
    with pytest.raises(InputError, match="aboard twice: Ines"):
        people_aboard(crew, ["Ines", "ines"])
    with pytest.raises(InputError, match="only 0 places are free"):
        people_aboard(crew, ["Ines", "Tobias", "Marit", "Keo", "Pal=70"])
