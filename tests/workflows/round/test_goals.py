from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

import pytest

from cringle.book.entries import Entry, Key
from cringle.book.outing_notes import Goal
from cringle.track.debrief.debrief import Debrief
from cringle.workflows.round.goals import GoalSeen, goals_kept, goals_seen, goals_told

NOON = datetime(2026, 7, 1, 12, tzinfo=UTC)


def seen(text: str, evening: Debrief | None) -> tuple[str, bool | None]:
    race = None if evening is None else evening.race
    (one,) = goals_seen([Goal("2026-06-17/2", text, "open", 7)], race)
    assert (one.number, one.text) == (2, text)
    return one.data, one.met


@pytest.mark.parametrize("text", ["nobody shouts", "heel steady", "cleaner tacks"])
def test_what_no_log_tells_is_left_to_the_crew(text: str) -> None:
    assert seen(text, None) == ("the data cannot tell: say it yourself", None)


def test_a_race_judges_heel_and_losses(raced: Debrief) -> None:
    assert raced.race is not None
    assert raced.race.heel is not None
    share = raced.race.heel.upwind
    assert share is not None
    data, met = seen("heel within two degrees of the target upwind", raced)
    assert met is (share.in_band_share >= 0.6)
    assert f"{round(100 * share.in_band_share)} %" in data
    assert seen("heel within 3° of the target", raced)[1] is None
    tack = next(one for one in raced.race.kinds if one.kind == "tack")
    assert tack.median_m is not None
    assert seen(f"tacks under {tack.median_m + 1.0:.1f} m", raced)[1] is True
    assert seen(f"tacks under {tack.median_m - 1.0:.1f} m", raced)[1] is False


def test_runs_and_the_whole_are_told_apart(raced: Debrief) -> None:
    assert raced.race is not None
    heel = raced.race.heel
    assert heel is not None
    for word, share in (("on the run", heel.run), ("", heel.whole)):
        assert share is not None
        assert f"{round(100 * share.in_band_share)} %" in seen(f"heel within 2 degrees {word}", raced)[0]


def test_without_heel_it_asks(raced: Debrief) -> None:
    assert raced.race is not None
    without = replace(raced, race=replace(raced.race, heel=None, kinds=()))
    assert "not measured" in seen("heel within 2 degrees", without)[0]
    assert "no tack" in seen("tacks under 9 m", without)[0]


def reveal(began: str, goals: Mapping[str, object] | None) -> Entry:
    payload: dict[str, object] = {"value": began} if goals is None else {"value": began, "goals": goals}
    return Entry(1, UUID(int=1), UUID(int=1), NOON, "coach", "home", Key("reveal", began), payload)


def test_the_latest_log_counts_and_older_entries_say_nothing() -> None:
    told = GoalSeen("2026-06-17", 1, "tacks under 9 m", "open", "the middle tack of 6 lost 8 m", met=True)
    silent = replace(told, number=2, met=None)
    assert goals_kept([told, silent]) == {"2026-06-17/1": {"data": told.data, "met": True}}
    first, later = goals_kept([replace(told, met=False)]), goals_kept([told])
    entries = [reveal("2026-06-24", later), reveal("2026-06-10", None), reveal("2026-06-17", first)]
    assert goals_told(entries) == {"2026-06-17/1": (told.data, True)}
