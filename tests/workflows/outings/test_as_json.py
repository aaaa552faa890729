from __future__ import annotations

import json
from pathlib import Path

from cringle.workflows.outings.as_json import outing_as_json
from cringle.workflows.outings.goals import open_action, set_goal
from cringle.workflows.outings.notes import (
    Observed,
    WindSaid,
    note_observation,
    note_rig,
    note_sails,
    note_wind,
)
from cringle.workflows.outings.outing import Door, end_outing, start_outing


def test_every_part_is_there_with_units_in_the_names(book_folder: Path) -> None:
    door = Door(book_folder, "Ines", at="2026-05-01T18:00")
    start_outing(door)
    note_wind(door, WindSaid(11.0))
    note_sails(door, {"main_1": 2.0})
    note_rig(door, {"cap_port": 1.0}, row_kn=12.0)
    note_observation(door, Observed("gust"))
    set_goal(door, "heel")
    open_action(door, "splice")
    found = outing_as_json(end_outing(Door(book_folder, at="20:00")))
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert found["started_utc"] == "2026-05-01T17:00:00.000000Z"
    assert found["ended_utc"] == "2026-05-01T19:00:00.000000Z"
    assert found["time_zone"] == "Europe/London"
    assert found["wind"][0] == {
        "at_utc": "2026-05-01T17:00:00.000000Z", "wind_kn": 11.0, "height_m": 10.0, "low_kn": None,
        "high_kn": None, "gust_kn": None, "direction_deg": None, "reference": "felt",
    }  # fmt: skip
    assert found["used_h"] == {"main_1": 2.0}
    assert found["sails"][0]["used_h"] == 2.0
    assert found["rig"][0]["row_wind_kn"] == 12.0
    assert found["crew"][0]["mass_kg"] == 320.0
    assert found["goals"][0]["state"] == "open"
    assert "entry_id" not in found["goals"][0]
    assert found["actions"][0]["closed_in"] is None


def test_an_outing_that_goes_on_has_no_end(book_folder: Path) -> None:
    assert outing_as_json(start_outing(Door(book_folder)))["ended_utc"] is None
