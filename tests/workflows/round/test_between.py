from __future__ import annotations

import itertools
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book.outings import settings_in_force
from cringle.book.store import Book
from cringle.errors import InputError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.moments import lock, set_signal, unlock
from cringle.workflows.outings.notes import note_rig, note_settings
from cringle.workflows.outings.outing import Door, end_outing, show_outing, start_outing
from cringle.workflows.rig.record import record_turns
from cringle.workflows.round.between import (
    MOST_MOVES,
    SENTENCES,
    between,
    between_json,
    keep,
    say,
    screws_stand_at,
    undo,
)

ASKED = TonightRequest(wind_kn=14.0)
NOW = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def now() -> datetime:
    """Return the evening's instant."""
    return NOW


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first")
    start_outing(Door(book_folder, at="2026-06-17 18:00"))
    return book_folder


def test_at_most_six_moves_screws_first(folder: Path) -> None:
    found = between(folder, ASKED, clock=now)
    assert len(found.moves) == MOST_MOVES
    assert found.more > 0
    assert found.tonight is not None
    rig = [found.tonight.scales[one.role].is_rig for one in found.moves]
    assert rig == sorted(rig, reverse=True)
    assert rig[0]
    people = [one.who for one, is_rig in zip(found.moves, rig, strict=True) if not is_rig]
    assert len([1 for a, b in itertools.pairwise(people) if a != b]) == len(set(people)) - 1


def test_what_was_assumed_is_said(folder: Path) -> None:
    (note,) = between(folder, ASKED, clock=now).notes
    assert "taken as the start numbers for 10 kn, as nobody has entered" in note


def test_without_an_outing_it_says_so(book_folder: Path, examples: Path) -> None:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", None, who="coach", why="first")
    assert "no outing goes on" in between(book_folder, ASKED, clock=now).notes[0]
    with pytest.raises(InputError, match="no outing"):
        keep(book_folder, ASKED, who="Ines", clock=now)


def test_moves_start_from_what_is_noted_as_set(folder: Path) -> None:
    target = between(folder, ASKED, clock=now).tonight
    assert target is not None
    backstay = target.numbers.find("settled", "backstay")
    assert backstay is not None
    note_settings(Door(folder, at="2026-06-17 18:20"), {"backstay": backstay.value})
    assert "backstay" not in [one.role for one in between(folder, ASKED, clock=now).moves]


def test_keep_puts_them_in_force_and_undo_takes_them_back(folder: Path) -> None:
    shown = keep(folder, ASKED, who="Ines", clock=now)
    kept = settings_in_force(show_outing(folder), NOW)
    assert {role: note.value for role, note in kept.items()} == {one.role: one.end for one in shown.moves}
    later = between(folder, ASKED, clock=now)
    assert {one.role for one in shown.moves}.isdisjoint(one.role for one in later.moves)
    assert later.moment.evening.request == ASKED
    undo(folder, who="Ines", clock=lambda: NOW + timedelta(minutes=1))
    back = settings_in_force(show_outing(folder), NOW + timedelta(minutes=2))
    assert {role: note.value for role, note in back.items()} == {one.role: one.start for one in shown.moves}
    with pytest.raises(InputError, match="nothing to undo"):
        undo(folder, who="Ines", clock=now)


def test_screws_stand_where_they_were_left_on_another_outing(folder: Path) -> None:
    shown = keep(folder, ASKED, who="Ines", clock=now)
    screws = {one.role for one in shown.moves if one.unit == "turn"}
    assert screws
    end_outing(Door(folder, at="2026-06-17 20:00"))
    start_outing(Door(folder, at="2026-06-18 18:00"))
    found = between(folder, ASKED, clock=lambda: NOW + timedelta(days=1))
    assert screws.isdisjoint(one.role for one in found.moves)
    assert "taken as the start numbers for 14 kn" in found.notes[-1], "lines are set anew"


def test_a_screw_counted_later_stands_before_what_was_noted(folder: Path) -> None:
    shown = keep(folder, ASKED, who="Ines", clock=now)
    cap = next(one for one in shown.moves if one.role == "cap_shrouds")
    record_turns(folder, {"cap_port": cap.start, "cap_starboard": cap.start}, who="Ines")
    again = next(one for one in between(folder, ASKED, clock=now).moves if one.role == "cap_shrouds")
    assert (again.start, again.end) == (cap.start, cap.end)


def test_the_rig_noted_by_screw_counts_where_its_screws_stand_alike(folder: Path) -> None:
    note_rig(
        Door(folder, at="2026-06-17 18:10"),
        {"cap_port": 2.0, "cap_starboard": 2.0, "lower_port": 1.0, "lower_starboard": 1.0},
    )
    with open_records(folder) as records:
        assert screws_stand_at(records, NOW) == {"cap_shrouds": 2.0, "lower_shrouds": 1.0}
        assert screws_stand_at(records, NOW - timedelta(hours=1)) == {}
    note_rig(Door(folder, at="2026-06-17 18:20"), {"cap_port": 1.0})
    with open_records(folder) as records:
        assert "cap_shrouds" not in screws_stand_at(records, NOW)


def test_minutes_are_left_to_the_signal(folder: Path) -> None:
    set_signal(folder, "18:45", who="Ines", clock=now)
    assert between(folder, ASKED, clock=now).moment.minutes_left == 15


def test_while_racing_nothing_but_the_rule(folder: Path) -> None:
    lock(folder, ASKED, who="Ines", clock=now)
    found = between(folder, TonightRequest(wind_kn=20.0), clock=now)
    assert (found.moves, found.tonight, found.more, found.ashore) == ((), None, 0, ())
    assert "RRS 41" in found.notes[0]
    for refused in (
        lambda: keep(folder, ASKED, who="I", clock=now),
        lambda: undo(folder, who="I", clock=now),
    ):
        with pytest.raises(RuleError):
            refused()
    unlock(folder, who="Ines", clock=now)
    assert between(folder, ASKED, clock=now).moves


@pytest.mark.parametrize("about", list(SENTENCES))
@pytest.mark.parametrize("good", [True, False])
def test_the_crews_sentence_goes_into_the_outing(folder: Path, about: str, good: bool) -> None:
    lock(folder, ASKED, who="Ines", clock=now)
    sentence = say(folder, about, good=good, who="Keo", clock=now)
    (note,) = show_outing(folder).observations
    assert (note.text, note.tag, note.by) == (sentence, about, "crew")


def test_another_choice_is_refused(folder: Path) -> None:
    with pytest.raises(InputError, match="choice"):
        say(folder, "luck", good=False, who="Keo", clock=now)


def test_json_is_plain_and_whole(folder: Path) -> None:
    data = between_json(between(folder, ASKED, clock=now))
    json.dumps(data, allow_nan=False)
    assert data["racing"] is False
    assert {"who", "role", "from", "to", "rule_state"} <= set(data["moves"][0])
