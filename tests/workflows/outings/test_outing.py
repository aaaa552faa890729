from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book.entries import NewEntry
from cringle.book.rows import time_text
from cringle.errors import BookFileError, InputError
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.goals import open_action, set_goal
from cringle.workflows.outings.notes import note_sails
from cringle.workflows.outings.outing import (
    Door,
    end_outing,
    list_outings,
    outing_index,
    require_near,
    sail_hours,
    show_outing,
    start_outing,
)

DAY = "2026-05-01"


@pytest.fixture
def door(book_folder: Path) -> Door:
    return Door(book_folder, "Ines", at=f"{DAY}T18:00")


def test_an_outing_begins_with_who_is_aboard(door: Door) -> None:
    outing = start_outing(door)
    assert (outing.id, outing.place, outing.is_open) == (DAY, "Tarrow Water", True)
    assert outing.started == datetime(2026, 5, 1, 17, 0, tzinfo=UTC), "18:00 in London in May"
    assert outing.crews[0].people == ("ines", "tobias", "marit", "keo")
    assert outing.crews[0].mass_kg == 320.0


def test_somebody_else_may_be_aboard_elsewhere(door: Door) -> None:
    outing = start_outing(door, place="the estuary", people=["ines", "keo", "ines"])
    assert outing.place == "the estuary"
    assert outing.crews[0].people == ("ines", "keo")
    assert outing.crews[0].mass_kg == 155.0


def test_everybody_unknown_is_named_at_once_and_nothing_is_begun(door: Door) -> None:
    with pytest.raises(BookFileError) as refused:
        start_outing(door, people=["ines", "nobody", "someone"])
    assert len(refused.value.findings) == 2
    assert list_outings(door.folder) == []


def test_one_outing_at_a_time(door: Door) -> None:
    start_outing(door)
    with pytest.raises(InputError, match=f"outing {DAY} still goes on"):
        start_outing(door)
    end_outing(Door(door.folder, at="20:15"))
    second = start_outing(Door(door.folder, at=f"{DAY}T21:00"))
    assert second.id == f"{DAY}b"
    assert [one.id for one in list_outings(door.folder)] == [DAY, f"{DAY}b"]


def test_an_end_comes_after_the_start_and_once(door: Door) -> None:
    with pytest.raises(InputError, match="there is no outing yet"):
        end_outing(Door(door.folder))
    start_outing(door)
    with pytest.raises(InputError, match="would end before it began"):
        end_outing(Door(door.folder, at="17:00"))
    with pytest.raises(InputError, match="is far from outing"):
        end_outing(Door(door.folder, at="2026-05-09T20:00"))
    ended = end_outing(Door(door.folder, at="20:15"))
    assert ended.ended == datetime(2026, 5, 1, 19, 15, tzinfo=UTC)
    with pytest.raises(InputError, match="has ended already"):
        end_outing(Door(door.folder, at="20:30"))


def test_without_a_name_the_one_that_goes_on_is_meant_else_the_newest(door: Door) -> None:
    start_outing(door)
    end_outing(Door(door.folder, at="20:00"))
    assert show_outing(door.folder).id == DAY
    start_outing(Door(door.folder, at="2026-05-02T18:00"))
    assert show_outing(door.folder).id == "2026-05-02"
    assert show_outing(door.folder, DAY).id == DAY
    with pytest.raises(InputError, match=f"the newest: {DAY}, 2026-05-02"):
        show_outing(door.folder, "2025-01-01")


def test_hours_on_a_sail_go_on_from_the_boat_file(door: Door) -> None:
    assert sail_hours(door.folder)["main_1"] == 86.0
    start_outing(door)
    note_sails(Door(door.folder, at="19:00"), {"main_1": 1.5, "jib_1": 1.0})
    note_sails(Door(door.folder, at="20:00"), {"main_1": 0.5})
    assert sail_hours(door.folder) == {"main_1": 88.0, "jib_1": 32.5, "jib_old": 140.0, "kite_1": 44.0}


def test_an_outing_begun_in_another_zone_keeps_its_instant(door: Door) -> None:
    outing = start_outing(Door(door.folder, at="2026-05-01T18:00-07:00"))
    assert outing.started == datetime(2026, 5, 2, 1, 0, tzinfo=UTC)
    assert outing.id == "2026-05-02", "the day where the boat lives"


def test_a_name_taken_by_a_device_that_was_alone_is_left_to_it(door: Door) -> None:
    with open_records(door.folder, who="phone") as records:
        start = {"at": time_text(datetime(2026, 5, 1, 5, 0, tzinfo=UTC)), "place": "x"}
        records.book.write([NewEntry("outing_start", DAY, start)], why="x")
        records.book.write([NewEntry("outing_end", DAY, start)], why="x")
    assert start_outing(door).id == f"{DAY}b"


def test_one_outing_read_by_itself_is_the_one_in_the_list(door: Door) -> None:
    for day in (1, 2, 3):
        there = Door(door.folder, "Ines", at=f"2026-05-0{day}T18:00")
        start_outing(there)
        set_goal(there, f"goal of day {day}")
        open_action(there, f"action of day {day}")
        note_sails(there, {"main_1": day})
        end_outing(Door(door.folder, at="20:00"))
    outings = list_outings(door.folder)
    assert [len(one.actions) for one in outings] == [1, 2, 3]
    assert [show_outing(door.folder, one.id) for one in outings] == outings
    with open_records(door.folder) as records:
        index = outing_index(records)
    assert [(one.id, one.started, one.ended) for one in index] == [
        (one.id, one.started, one.ended) for one in outings
    ]


def test_far_is_half_a_day_before_or_a_day_and_a_half_after(door: Door) -> None:
    outing = start_outing(door)
    for hours in (-12, 0, 36):
        require_near(outing, outing.started + timedelta(hours=hours))
    for hours in (-12.1, 36.1):
        with pytest.raises(InputError, match="is far from"):
            require_near(outing, outing.started + timedelta(hours=hours))
