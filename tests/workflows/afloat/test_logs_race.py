from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.workflows.afloat.logs import DebriefWishes, debrief_log
from cringle.workflows.afloat.logs_race import RaceWishes, play_plans, race_options


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def test_wind_stream_and_targets_are_passed_on() -> None:
    wishes = RaceWishes(wind_kn=10.0, stream=(0.8, 270.0))
    found = race_options(None, wishes, targets_deg={"upwind": 14.0})
    assert found.strength is not None
    assert found.strength.tws_kn == (10.0,)
    assert found.stream is not None
    assert found.stream.to_deg == (270.0,)
    assert found.targets_deg == {"upwind": 14.0}
    assert found.plans == ()


def test_a_wind_read_low_down_is_more_at_ten_metres() -> None:
    low = race_options(None, RaceWishes(wind_kn=10.0, wind_height_m=2.0), targets_deg={})
    assert low.strength is not None
    assert low.strength.tws_kn[0] > 11.0


def test_a_named_boat_needs_her_log() -> None:
    with pytest.raises(InputError, match="no boat to hold against"):
        race_options(None, RaceWishes(baseline="boat"), targets_deg={})


def test_the_plays_of_a_book(book_folder: Path) -> None:
    plans = {one.kind: one for one in play_plans(book_folder)}
    assert set(plans) == {"tack", "gybe"}
    assert plans["tack"].faults[0].symptom == "Stops head to wind"
    planned = plans["tack"].planned_s
    assert planned is not None
    assert 3.0 < planned < 60.0


def test_a_folder_without_a_book_has_no_plays(tmp_path: Path) -> None:
    assert play_plans(tmp_path) == ()


def test_the_demos_evening_against_its_own_book(book_folder: Path, examples: Path) -> None:
    found = debrief_log(examples / "evening.nmea", book=book_folder, wishes=DebriefWishes())
    assert found.race is not None
    assert found.race.ledger is not None
    assert not any("not yours" in one for one in found.unknown)
    assert all(kind.play is not None for kind in found.race.kinds)
