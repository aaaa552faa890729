from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from cringle.book.entries import NewEntry
from cringle.book.outing_notes import (
    Action,
    Observation,
    SailNote,
    SettingNote,
    WindNote,
    action_entry,
    goal_entry,
    note_entry,
)
from cringle.book.outings import (
    Outing,
    add_hours,
    assemble,
    newest_actions,
    open_actions,
    outing_id,
    settings_in_force,
    wind_at,
)
from cringle.book.rows import time_text
from cringle.book.store import Book

ZONE = ZoneInfo("Pacific/Auckland")
START = datetime(2026, 5, 1, 5, 0, tzinfo=UTC)


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def begin(name: str, when: datetime = START) -> NewEntry:
    return NewEntry("outing_start", name, {"at": time_text(when), "place": "Tarrow Water"})


def end(name: str, when: datetime) -> NewEntry:
    return NewEntry("outing_end", name, {"at": time_text(when)})


def outings(book: Book) -> list[Outing]:
    return assemble(book.history(), ZONE)


def test_nothing_gives_nothing(book: Book) -> None:
    assert outings(book) == []


def test_the_day_is_the_boats_own(book: Book) -> None:
    book.write([begin("2026-05-02", datetime(2026, 5, 1, 20, 0, tzinfo=UTC))], why="x")
    (found,) = outings(book)
    assert found.day == date(2026, 5, 2), "it is tomorrow already in Auckland"
    assert found.place == "Tarrow Water"
    assert found.is_open
    assert found.zone == ZONE


def test_notes_stand_in_the_order_of_their_instants(book: Book) -> None:
    book.write([begin("a")], why="x")
    for minutes in (30, 10, 20):
        book.write([note_entry("a", WindNote(at(minutes), float(minutes), 10.0))], why="x")
    (found,) = outings(book)
    assert [one.wind_kn for one in found.winds] == [10.0, 20.0, 30.0]
    assert wind_at(found, at(25)) == found.winds[1]
    assert wind_at(found, at(5)) is None


def test_settings_in_force_are_the_last_before_the_instant(book: Book) -> None:
    book.write([begin("a")], why="x")
    notes = [
        SettingNote(at(0), "backstay", 3.0, "mark"),
        SettingNote(at(0), "vang", 1.0, "mark"),
        SettingNote(at(20), "backstay", 4.0, "mark"),
        SettingNote(at(10), "backstay", 3.5, "mark"),
    ]
    book.write([note_entry("a", note) for note in notes], why="x")
    (found,) = outings(book)

    def values(minutes: float) -> dict[str, float]:
        return {role: note.value for role, note in settings_in_force(found, at(minutes)).items()}

    assert values(-1) == {}
    assert values(0) == {"backstay": 3.0, "vang": 1.0}
    assert values(15) == {"backstay": 3.5, "vang": 1.0}
    assert values(20) == values(500) == {"backstay": 4.0, "vang": 1.0}


def test_hours_of_sails_add_up() -> None:
    notes = [SailNote(START, "main_1", 1.0), SailNote(START, "jib_1", 0.5), SailNote(START, "main_1", 1.5)]
    assert add_hours(notes) == {"main_1": 2.5, "jib_1": 0.5}


def test_outings_do_not_mix(book: Book) -> None:
    book.write([begin("b", at(600)), begin("a")], why="x")
    book.write([note_entry("a", Observation(at(1), "mine", "Ines"))], why="x")
    book.write([note_entry("b", Observation(at(601), "theirs", "Ines")), end("a", at(90))], why="x")
    first, second = outings(book)
    assert [first.id, second.id] == ["a", "b"]
    assert [one.text for one in first.observations] == ["mine"]
    assert first.ended == at(90)
    assert second.is_open


def test_a_log_belongs_to_the_outing_it_was_last_given(book: Book) -> None:
    book.write([begin("a"), begin("b", at(600))], why="x")
    kept = {"file": "logs/e.nmea", "sha256": "ab", "name": "e"}
    book.write([NewEntry("log", "ab", {**kept, "outing": "a"})], why="x")
    book.write([NewEntry("log", "ab", {**kept, "outing": "b"})], why="the other one")
    book.write([NewEntry("log", "cd", {**kept, "sha256": "cd", "outing": None})], why="nobody's")
    first, second = outings(book)
    assert first.logs == ()
    assert [log.name for log in second.logs] == ["e"]


def test_goals_count_as_last_said(book: Book) -> None:
    book.write([begin("a")], why="x")
    (one, _) = book.write(
        [goal_entry("a/1", "heel", "open", None), goal_entry("a/2", "tacks", "open", None)], why="x"
    )
    book.write([goal_entry("a/1", "heel", "met", one.id)], why="x")
    (found,) = outings(book)
    assert [(goal.id, goal.state) for goal in found.goals] == [("a/1", "met"), ("a/2", "open")]


def test_actions_are_carried_until_closed(book: Book) -> None:
    days = ["2026-05-01", "2026-05-02", "2026-05-03"]
    book.write([begin(day, at(1440 * number)) for number, day in enumerate(days)], why="x")
    action = Action("a1", "splice", "work list", "open", "2026-05-01", None, 0)
    (opened,) = book.write([action_entry(action, None)], why="x")
    assert [len(one.actions) for one in outings(book)] == [1, 1, 1]
    assert [one.id for one in open_actions(book.history())] == ["a1"]
    book.write([action_entry(replace(action, state="closed", closed_in="2026-05-02"), opened.id)], why="x")
    assert [len(one.actions) for one in outings(book)] == [1, 1, 0]
    assert open_actions(book.history()) == []
    assert [one.state for one in newest_actions(book.history())] == ["closed"]


def test_an_outing_restored_away_is_not_shown(book: Book) -> None:
    book.write([begin("a")], why="a mistake")
    book.restore("outing_start", 0)
    assert outings(book) == []


@pytest.mark.parametrize(
    ("taken", "expected"),
    [
        ([], "2026-05-01"),
        (["2026-05-01"], "2026-05-01b"),
        (["2026-05-01", "2026-05-01b"], "2026-05-01c"),
        (["2026-05-01b"], "2026-05-01"),
        (["2026-05-01", *(f"2026-05-01{letter}" for letter in "bcdefghijklmnopqrstuvwxyz")], "2026-05-01z2"),
    ],
)
def test_names_of_outings(taken: list[str], expected: str) -> None:
    assert outing_id(date(2026, 5, 1), taken) == expected
    assert expected > "2026-04-30z"
