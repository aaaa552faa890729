"""The page Crew's parts."""

from __future__ import annotations

import json

from fastapi import FastAPI

from cringle.output.speed_deck import DeckPlan, radius_of
from cringle.web.views.crew import BOX, drawn, script_data
from cringle.workflows.speed.places import SeatDrawn, seats_drawn


def test_everybody_is_drawn_where_the_crew_file_says(app: FastAPI) -> None:
    files = app.state.site.served.files()
    found = drawn(seats_drawn(files, DeckPlan(files.class_file.hull)), files.crew_file.people)
    for one in found:
        assert one.now is not None
        assert (one.now.station, one.now.posture) == (one.person.station, str(one.person.posture))
        assert BOX[0] < one.now.x - one.radius
        assert one.now.x + one.radius < BOX[0] + BOX[2]


def test_heavier_people_have_larger_discs_by_area() -> None:
    assert (radius_of(80.0) / radius_of(40.0)) ** 2 == 2.0 or abs(
        (radius_of(80.0) / radius_of(40.0)) ** 2 - 2
    ) < 1e-9


def test_no_name_ends_the_script_early(app: FastAPI) -> None:
    files = app.state.site.served.files()
    person = files.crew_file.people[0]
    seats = {person.id: (SeatDrawn("rail_1", "hike", "</script><b>&", 1.0, 2.0),)}
    text = script_data(drawn(seats, (person,)))
    assert "<" not in text
    assert json.loads(text)["seats"][person.id][0]["words"] == "</script><b>&"
