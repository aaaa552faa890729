from __future__ import annotations

import json
import math

import numpy as np
import pytest

from cringle.speed.cases import upwind_case
from cringle.speed.depower_order import Step
from cringle.speed.depower_puff import Puff
from cringle.speed.ensemble import Interval
from cringle.speed.heel import HeelCost
from cringle.speed.lanes import LaneAnswer, Track
from cringle.workflows.speed.as_json import head, heel_cost_json, lane_json, puff_json, status_word, step_json
from cringle.workflows.speed.open import SpeedAsked, open_speed


def test_every_answer_says_boat_people_sea_and_what_its_interval_is(examples):
    book = open_speed(examples, SpeedAsked(members=7))
    said = head(book)
    assert said["schema"] == 1
    assert said["boat"] == book.files.boat_file.boat.name
    assert said["crew_kg"] == book.crew.mass_kg
    assert said["fit"] is None
    assert (said["interval"], said["members"], said["wind_reference_m"]) == ("90 %", 7, 10.0)


def test_a_price_that_is_not_known_is_null():
    price = np.array([[math.nan, 4.0]])
    cost = HeelCost(
        upwind_case(), np.array([12.0]), np.array([11.0]), np.array([-4.0, 4.0]), price,
        Interval(price - 1.0, price + 1.0),
    )  # fmt: skip
    (row,) = heel_cost_json(cost)
    unknown, known = row["beside"]
    assert unknown["cost_s_per_mile"] is unknown["cost_s_per_mile_low"] is None
    assert (known["cost_s_per_mile_low"], known["cost_s_per_mile"]) == (3.0, 4.0)
    json.dumps(row, allow_nan=False)


def test_a_step_tells_what_to_do_and_its_cost():
    step = Step("hike", 9.0, 10.5, "hike out", ("vang",), 104.4, 0.051, 3.0, 1.0, 2.0, (1.0, 4.0))
    said = step_json(step)
    assert (said["from_kn"], said["to_kn"], said["do"], said["controls"]) == (9.0, 10.5, "hike out", ["vang"])
    assert said["spare_nm"] == 104.0
    assert (said["cost_s_per_mile_low"], said["cost_s_per_mile_high"]) == (1.0, 4.0)


@pytest.mark.parametrize(
    ("puff", "gain"),
    [
        (Puff(14.0, 18.0, held=False, feather_deg=3.0, feather_m_per_min=110.0, ease_m_per_min=106.0), 4.0),
        (Puff(8.0, 9.0, held=True, feather_deg=None, feather_m_per_min=None, ease_m_per_min=None), None),
    ],
    ids=["feathers", "holds"],
)
def test_a_puff_gains_the_difference_of_its_two_answers(puff, gain):
    said = puff_json(puff)
    assert said["gain_m_per_min"] == gain
    assert said["held"] is puff.held


@pytest.mark.parametrize("unit", ["percent", "deg", "s", "m"])
def test_a_lane_names_the_unit_of_its_break_even(unit):
    track = Track("high", (0.0, 10.04), (0.0, 20.0))
    lane = LaneAnswer(
        "high", "sail on", 12.0, math.nan, unit, "nothing", (("angle deg", math.nan),), (track,)
    )
    said = lane_json(lane)
    assert said[f"break_even_{unit}"] is None
    assert said["gain_m"] == 12.0
    assert said["gain_m_low"] is None
    assert said["numbers"] == {"angle deg": None}
    assert said["tracks"] == [{"name": "high", "across_m": [0.0, 10.0], "up_m": [0.0, 20.0]}]
    json.dumps(said, allow_nan=False)


def test_a_cell_has_one_of_four_ends():
    assert len({status_word(one) for one in range(4)}) == 4
