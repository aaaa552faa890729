from __future__ import annotations

import json

import pytest

from cringle.errors import InputError, OutOfRangeError
from cringle.workflows.speed.as_json import lane_json
from cringle.workflows.speed.lanes import QUESTIONS, LaneQuestion, speed_lane, write_lane_picture
from cringle.workflows.speed.open import SpeedAsked

FEW = SpeedAsked(members=4)


@pytest.mark.parametrize("question", list(QUESTIONS))
def test_every_question_has_metres_a_break_even_and_a_picture(examples, tmp_path, question):
    asked = LaneQuestion(question, 11.0, right_m=60.0, ahead_m=500.0)
    found = speed_lane(examples, asked, about=FEW)
    data = lane_json(found.answer)
    assert data["gain_m"] is not None
    assert data["gain_m_low"] <= data["gain_m"] <= data["gain_m_high"]
    assert data["break_even_means"]
    assert data["tracks"]
    json.dumps(data, allow_nan=False)
    picture = write_lane_picture(found, tmp_path / "lane.svg").read_text(encoding="utf-8")
    assert "true wind 11 kn" in picture


def test_a_question_that_is_none_names_those_there_are(examples):
    with pytest.raises(InputError, match="question"):
        speed_lane(examples, LaneQuestion("overtake", 11.0), about=FEW)


def test_impossible_numbers_are_refused_before_anything_is_drawn(examples):
    with pytest.raises(OutOfRangeError, match="time in the lane"):
        speed_lane(examples, LaneQuestion("higher-lower", 11.0, seconds=-1.0), about=FEW)
    with pytest.raises(InputError, match="point"):
        speed_lane(examples, LaneQuestion("shift", 11.0, point="across"), about=FEW)
    with pytest.raises(OutOfRangeError, match="true wind speed"):
        speed_lane(examples, LaneQuestion("split", 0.0), about=FEW)


def test_another_suffix_is_refused_and_nothing_is_written(examples, tmp_path):
    found = speed_lane(examples, LaneQuestion("shift", 11.0), about=FEW)
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        write_lane_picture(found, tmp_path / "lane.gif")
    assert not list(tmp_path.iterdir())
