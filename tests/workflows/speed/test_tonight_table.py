from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.errors import CringleError
from cringle.workflows.speed.tonight_table import FIRST_KN, LAST_KN, tonight_table


@pytest.fixture(scope="module")
def table(examples: Path):
    return tonight_table(examples, sea="flat", aboard=())


def test_there_is_one_answer_for_every_wind(table):
    winds = table["winds_kn"]
    assert (winds[0], winds[-1]) == (FIRST_KN, LAST_KN)
    for name in ("places_up", "places_down", "calls", "moment_ratio"):
        assert len(table[name]) == len(winds)
    for name in ("heel_up_deg", "heel_down_deg"):
        assert {len(column) for column in table[name].values()} == {len(winds)}
    json.dumps(table, allow_nan=False)


def test_heel_lies_in_its_interval(table):
    heel = table["heel_up_deg"]
    for value, low, high in zip(heel["value"], heel["low"], heel["high"], strict=True):
        assert low <= value <= high


def test_the_usual_people_have_a_ratio_of_one(table):
    assert table["moment_ratio"] == [1.0] * len(table["winds_kn"])


def test_everybody_sits_somewhere_once(table):
    for places in table["places_up"]:
        people = [one["person"] for one in places]
        assert len(people) == len(set(people)) == 4


def test_the_call_soaks_in_light_air_and_planes_in_strong(table):
    techniques = [one["technique"] for one in table["calls"]]
    assert set(techniques) <= {"soak", "wing", "plane"}
    assert techniques[0] == "soak"
    assert techniques[-1] == "plane"


def test_people_the_class_forbids_are_refused(examples: Path):
    with pytest.raises(CringleError):
        tonight_table(examples, sea="flat", aboard=("Ines=400", "Tobias"))
