from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.book.outing_notes import Goal
from cringle.track.debrief.debrief import Debrief
from cringle.workflows.round.goals import goals_seen


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
