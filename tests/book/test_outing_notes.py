from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from cringle.book.outing_notes import (
    LONGEST_TEXT,
    Action,
    CrewNote,
    Note,
    Observation,
    RigNote,
    SailNote,
    SeaNote,
    SettingNote,
    WindNote,
    action_entry,
    action_of,
    goal_entry,
    goal_of,
    note_entry,
    note_of,
)
from cringle.book.store import Book
from cringle.errors import CringleError, InputError, OutOfRangeError

AT = datetime(2026, 5, 1, 17, 20, tzinfo=UTC)
NOTES: list[Note] = [
    WindNote(AT, 11.0, 10.0),
    WindNote(
        AT, 11.0, 2.0, low_kn=9.0, high_kn=13.0, gust_kn=15.0, direction_deg=240.0, reference="hand-held"
    ),
    SeaNote(AT, "chop"),
    CrewNote(AT, ("ines", "keo"), 155.0),
    CrewNote(AT, ()),
    SailNote(AT, "main_1", 2.5),
    RigNote(AT, {"cap_port": 1.0}, 12.0, "locked"),
    RigNote(AT),
    SettingNote(AT, "backstay", 3.5, "mark"),
    Observation(
        AT, "Böe von links", "Ines", boat="Brindle", tag="wind", file="logs/photos/x.jpg", sha256="ab"
    ),
    Observation(AT, "gust", "Keo"),
]


@pytest.mark.parametrize("note", NOTES, ids=lambda note: type(note).__name__)
def test_a_note_comes_back_from_the_book_as_it_was(book: Book, note: Note) -> None:
    (entry,) = book.write([note_entry("2026-05-01", note)], why="x")
    assert note_of(entry) == note
    assert entry.key.subject == "2026-05-01"


@pytest.mark.parametrize(
    "make",
    [
        lambda: WindNote(AT, -1.0, 10.0),
        lambda: WindNote(AT, 81.0, 10.0),
        lambda: WindNote(AT, math.nan, 10.0),
        lambda: WindNote(AT, 10.0, 0.0),
        lambda: WindNote(AT, 10.0, 10.0, direction_deg=361.0),
        lambda: SailNote(AT, "main_1", -1.0),
        lambda: SailNote(AT, "main_1", 49.0),
        lambda: SettingNote(AT, "backstay", math.inf, "mark"),
    ],
)
def test_a_number_out_of_reach_is_refused(make: Callable[[], Note]) -> None:
    with pytest.raises(OutOfRangeError, match="accepted"):
        make()


@pytest.mark.parametrize(
    "more", [{"low_kn": 12.0}, {"high_kn": 9.0}, {"gust_kn": 8.0}, {"high_kn": 14.0, "gust_kn": 13.0}]
)
def test_a_wind_keeps_its_order(more: dict[str, float]) -> None:
    with pytest.raises(InputError, match="with low") as refused:
        WindNote(AT, 11.0, 10.0, **more)
    assert refused.value.next_step == "give low <= mean <= high <= gust"


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: SeaNote(AT, "lumpy"), "accepted: flat, chop, waves"),
        (lambda: Observation(AT, "  ", "Ines"), "accepted 1 to"),
        (lambda: Observation(AT, "x" * (LONGEST_TEXT + 1), "Ines"), "accepted 1 to"),
        (lambda: goal_entry("2026-05-01/1", "", "open", None), "goal: found 0"),
        (lambda: goal_entry("2026-05-01/1", "x", "maybe", None), "accepted: open, met, not met"),
        (
            lambda: action_entry(Action("a1", "x", "beach", "open", "d", None, 0), None),
            "accepted: drill, trial",
        ),
        (
            lambda: action_entry(Action("a1", "x", "drill", "half", "d", None, 0), None),
            "accepted: open, closed",
        ),
    ],
)
def test_words_that_do_not_fit_list_those_that_do(make: Callable[[], object], words: str) -> None:
    with pytest.raises(CringleError, match=words):
        make()


@pytest.mark.parametrize(("state", "met"), [("open", None), ("met", True), ("not met", False)])
def test_a_goal_comes_back(book: Book, state: str, met: bool | None) -> None:
    (entry,) = book.write([goal_entry("2026-05-01/1", "heel 12", state, None)], why="x")
    goal = goal_of(entry)
    assert (goal.id, goal.text, goal.state, goal.entry_id) == ("2026-05-01/1", "heel 12", state, entry.id)
    assert entry.payload["met"] is met


def test_an_action_comes_back(book: Book) -> None:
    action = Action("a1", "splice the tail", "work list", "open", "2026-05-01", None, 0)
    (entry,) = book.write([action_entry(action, None)], why="x")
    found = action_of(entry)
    assert found == Action("a1", "splice the tail", "work list", "open", "2026-05-01", None, entry.id)
