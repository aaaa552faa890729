from __future__ import annotations

import pytest

from cringle.book.store import Book
from cringle.errors import InputError, NotConvergedError, OutOfRangeError
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.rig.record import BaseMeasured, record_base, record_locks, record_turns


def test_turns_are_entries_with_who_and_why(book_folder):
    record_turns(book_folder, {"cap_shrouds": 1.0, "cap_port": 1.5}, who="Keo", why="after the hoist")
    record_turns(book_folder, {"cap_port": 2.0}, who="Ines")
    with Book.open(book_folder) as book:
        now = {one.key.subject: one.number.value for one in book.current("rig_turns")}
        past = book.history("rig_turns")
    assert now == {"cap_port": 2.0, "cap_starboard": 1.0}
    assert (past[0].who, past[0].why) == ("Keo", "after the hoist")
    assert len(past) == 3


def test_nothing_is_written_when_one_screw_is_wrong(book_folder):
    with pytest.raises(OutOfRangeError):
        record_turns(book_folder, {"cap_port": 1.0, "lower_port": 40.0}, who="Keo")
    with pytest.raises(InputError, match="no turns were given"):
        record_turns(book_folder, {}, who="Keo")
    assert not (book_folder / "book.sqlite").exists()


def test_locks(book_folder):
    assert len(record_locks(book_folder, ["all"], "locked", who="Keo")) == 5
    with pytest.raises(InputError, match="lock state 'loose'"):
        record_locks(book_folder, ["all"], "loose", who="Keo")
    with pytest.raises(InputError, match="no rigging screw 'nut'"):
        record_locks(book_folder, ["nut"], "locked", who="Keo")


def test_base_that_cannot_stand_is_not_kept(book_folder):
    with pytest.raises(NotConvergedError):
        record_base(book_folder, BaseMeasured({"cap": 2600.0}, prebend_mm=900.0), who="Keo")
    with pytest.raises(InputError, match="the base is set by cap, lower"):
        record_base(book_folder, BaseMeasured({"forestay": 1500.0}), who="Keo")
    with pytest.raises(InputError, match="a base tension of 0 N"):
        record_base(book_folder, BaseMeasured({"cap": 0.0}), who="Keo")
    assert not (book_folder / "book.sqlite").exists()


def test_tonight_shows_what_was_recorded(book_folder, examples):
    with Book.open(book_folder, create=True):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    record_locks(book_folder, ["all"], "locked", who="Keo")
    record_turns(book_folder, {"cap_shrouds": 2.0, "lower_shrouds": 1.0, "forestay": 0.0}, who="Keo")
    assert tonight(book_folder, TonightRequest(wind_kn=14.0)).rig.warnings == ()
    record_turns(book_folder, {"cap_port": 0.5}, who="Keo")
    record_locks(book_folder, ["cap_port"], "unlocked", who="Keo")
    warned = " ".join(tonight(book_folder, TonightRequest(wind_kn=14.0)).rig.warnings)
    assert "Cap shroud screw, port" in warned
    assert "unlocked" in warned
    assert "between races" in warned
