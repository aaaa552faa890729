from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.outings.moments import lock, set_signal, unlock
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round.cues import SHIPPED_TECHNIQUES
from cringle.workflows.round.dock import dock, dock_json, rig_until

ASKED = TonightRequest(wind_kn=10.0)
NOW = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def now() -> datetime:
    """Return the evening's instant."""
    return NOW


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first")
    return book_folder


def test_the_page_has_everything_in_it(folder: Path) -> None:
    found = dock(folder, ASKED, clock=now)
    assert found.tonight.numbers.find("settled", "backstay") is not None
    assert found.tonight.call is not None
    assert found.ready.ticks
    assert (found.last, found.changed, found.notes) == (None, (), ())
    json.dumps(dock_json(found), allow_nan=False)


def test_a_number_that_changed_says_who_and_why(folder: Path) -> None:
    start_outing(Door(folder, at="2026-06-10 18:00"))
    end_outing(Door(folder, at="2026-06-10 20:00"))
    assert dock(folder, ASKED, clock=now).changed == ()
    before = dock(folder, ASKED, clock=now).tonight.numbers.find("settled", "backstay")
    assert before is not None
    change = SettingChange("backstay", 10.0, before.value + 1.0)
    set_number(folder, change, who="Tobias", why="leech hung")
    found = dock(folder, ASKED, clock=now)
    (one,) = found.changed
    assert (one.role, one.before, one.now, one.who, one.why) == (
        "backstay",
        before.value,
        before.value + 1.0,
        "Tobias",
        "leech hung",
    )
    assert found.last == "2026-06-10"


def test_the_rig_may_change_until_the_signal(folder: Path) -> None:
    set_signal(folder, "18:55", who="Ines", clock=now)
    found = dock(folder, ASKED, clock=now)
    assert rig_until(found) == NOW + timedelta(minutes=25)
    assert found.moment.minutes_left == 25


def test_while_racing_the_page_is_what_stood_at_the_signal(folder: Path) -> None:
    before = dock(folder, ASKED, clock=now).tonight
    lock(folder, ASKED, who="Ines", clock=now)
    set_number(folder, SettingChange("backstay", 10.0, 9.0), who="Tobias", why="x")
    found = dock(folder, TonightRequest(wind_kn=20.0), clock=now)
    assert found.tonight.numbers == before.numbers
    assert found.tonight.heel == before.heel
    assert found.tonight.moves == ()
    assert "RRS 41" in found.notes[0]
    assert rig_until(found) is None
    unlock(folder, who="Ines", clock=now)
    after = dock(folder, ASKED, clock=now).tonight.numbers.find("settled", "backstay")
    assert after is not None
    assert after.value == 9.0


def test_a_run_without_cues_of_its_own_gets_those_of_the_technique(book_folder: Path) -> None:
    found = dock(book_folder, TonightRequest(wind_kn=14.0, sail_set="main+kite"), clock=now).tonight
    assert found.call is not None
    assert found.call.technique is not None
    ours = SHIPPED_TECHNIQUES[found.call.technique]
    assert dict(found.cues) == {sense: f"{words} (guess)" for sense, words in ours.items()}
