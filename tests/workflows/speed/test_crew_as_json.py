from __future__ import annotations

import json

import pytest

from cringle.boat.read import read_book_files
from cringle.speed.assign import Wanted, assign
from cringle.workflows.speed.crew import DepowerAnswer, speed_depower
from cringle.workflows.speed.crew_as_json import depower_json, places_json
from cringle.workflows.speed.open import SpeedAsked


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


def test_an_arrangement_adds_up(files):
    found = assign(files.class_file, files.crew_file.people, Wanted(1e4, 600.0))
    data = places_json(found)
    assert {one["person"] for one in data["crew"]} == {one.name for one in files.crew_file.people}
    total = sum(one.mass_kg for one in files.crew_file.people)
    assert data["hiking_kg"] + data["legs_in_kg"] <= total
    assert data["hiking_share"] == pytest.approx(data["hiking_kg"] / total, abs=1e-3)
    hiking = {one["person"] for one in data["crew"] if one["posture"] == "hike"}
    weights = {one.name: one.mass_kg for one in files.crew_file.people}
    assert data["hiking_kg"] == sum(weights[name] for name in hiking)


def test_the_depower_order_runs_from_light_to_strong(examples):
    data = depower_json(speed_depower(examples, asked=SpeedAsked(members=2)))
    assert data["schema"] == 1
    begins = [one["from_kn"] for one in data["steps"]]
    assert begins == sorted(begins)
    for step in data["steps"]:
        assert step["from_kn"] <= step["to_kn"]
        assert step["do"]
    assert {"tws_kn", "puff_kn", "feather_deg", "gain_m_per_min"} <= set(data["puffs"][0])
    json.dumps(data, allow_nan=False)


def test_a_boat_that_never_lacks_moment_has_no_steps(examples):
    found = speed_depower(examples, asked=SpeedAsked(members=2))
    data = depower_json(DepowerAnswer(found.book, (), ()))
    assert data["steps"] == data["puffs"] == []
