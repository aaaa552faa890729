"""The page Run's parts."""

from __future__ import annotations

import pytest

from cringle.web.api.run import LaneAsked
from cringle.web.views.run import NEEDED, NUMBERS, lane_asked, window_at
from cringle.web.views.studies import Studied
from cringle.workflows.speed.lanes import QUESTIONS

WINDOWS = [
    {"from_kn": 4.0, "to_kn": 9.5, "technique": "soak"},
    {"from_kn": 9.5, "to_kn": 13.0, "technique": "wing"},
]


def test_every_question_has_its_fields_and_every_field_its_words() -> None:
    assert set(NEEDED) == set(QUESTIONS)
    assert (
        {name for fields in NEEDED.values() for name in fields} == set(NUMBERS) <= set(LaneAsked.model_fields)
    )


def test_a_form_may_be_written_as_people_write() -> None:
    asked, errors = lane_asked({"wind_kn": " 10,5 ", "shift_deg": "−8", "other": "x", "right_m": ""})
    assert errors == {}
    assert asked is not None
    assert (asked.wind_kn, asked.shift_deg, asked.right_m) == (10.5, -8.0, 100.0)


def test_wrong_fields_are_named() -> None:
    asked, errors = lane_asked({"wind_kn": "0", "seconds": "long"})
    assert asked is None
    assert set(errors) == {"wind_kn", "seconds"}


@pytest.mark.parametrize(("wind", "technique"), [(5.0, "soak"), (12.0, "wing"), (30.0, None)])
def test_the_window_of_a_wind(wind: float, technique: str | None) -> None:
    found = window_at(Studied("", "", {"windows": WINDOWS}), wind)
    assert (None if found is None else found["technique"]) == technique


def test_no_window_while_nothing_is_known() -> None:
    assert window_at(None, 5.0) is None
    assert window_at(Studied("", ""), 5.0) is None
