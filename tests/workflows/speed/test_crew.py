from __future__ import annotations

import json

import pytest

from cringle.errors import RuleError
from cringle.workflows.speed.crew import LEAST_SIDE_PRICE, better_trim, prices_of, speed_crew, speed_depower
from cringle.workflows.speed.crew_as_json import crew_json, depower_json
from cringle.workflows.speed.open import SpeedAsked
from cringle.workflows.speed.print import print_places, print_speed

WINDS = [5.0, 12.0, 18.0]


@pytest.fixture(scope="module")
def found(examples):
    said = []
    answer = speed_crew(examples, WINDS, asked=SpeedAsked(members=4), tell=said.append)
    assert "best places" in said
    return answer


def test_places_go_from_leeward_or_centre_to_full_hike(found):
    light, middle, strong = found.places
    assert light.side_kg_m < middle.side_kg_m
    assert light.hiking_kg == 0.0
    assert strong.hiking_kg == middle.hiking_kg == 181.0


def test_prices_come_from_what_changes_are_worth(found):
    light, strong = (prices_of(found.book, found.worth, place) for place in (0, 2))
    assert light.side == LEAST_SIDE_PRICE
    assert strong.side > light.side


def test_trim_follows_a_clear_gain_only(found):
    assert better_trim(found.worth, 0) == 1
    assert better_trim((), 0) == 0


def test_json_tells_heel_worth_and_places(found):
    data = crew_json(found)
    assert {one["change"] for one in data["worth"]} == {
        "ten_kg",
        "one_person",
        "one_posture",
        "forward",
        "aft",
    }
    assert len(data["places"]) == 3
    assert {one["role"] for one in data["places"][0]["crew"]} == {"helm", "main", "jib", "forward"}
    up = [one for one in data["heel"] if one["technique"] is None]
    assert [one["offset_deg"] for one in up[0]["beside"]] == [-4.0, -2.0, 2.0, 4.0]
    json.dumps(data, allow_nan=False)


def test_pictures_are_written(found, tmp_path):
    assert print_speed(found, tmp_path / "heel.svg").read_text(encoding="utf-8").startswith("<svg")
    assert print_places(found, tmp_path / "deck.png").read_bytes()[:4] == b"\x89PNG"


def test_a_crew_the_class_forbids_is_refused_with_the_rule(examples):
    with pytest.raises(RuleError, match=r"C\.3\.1"):
        speed_crew(examples, [10.0], asked=SpeedAsked(aboard=("Ines", "Tobias", "Keo", "Guest=120")))


def test_depowering_names_only_controls_of_the_boat(examples, tmp_path):
    answer = speed_depower(examples, asked=SpeedAsked(members=2))
    data = depower_json(answer)
    roles = {role for one in answer.book.files.boat_file.controls for role in one.roles}
    assert {role for one in data["steps"] for role in one["controls"]} <= roles
    assert len(data["puffs"]) == 6
    json.dumps(data, allow_nan=False)
    assert print_speed(answer, tmp_path / "order.svg").exists()
