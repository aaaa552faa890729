from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.goals import judge_goal, set_goal
from cringle.workflows.outings.moments import lock, unlock
from cringle.workflows.outings.notes import note_rig, note_settings
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round.home import CAUSES, GUESS, REVEAL, HomeAsked, confirm_settings, guess, home
from cringle.workflows.round.sheet import _settings, home_sheet


@pytest.fixture
def empty_day(book_folder: Path) -> Path:
    start_outing(Door(book_folder, at="2026-06-17 18:25"))
    end_outing(Door(book_folder, at="2026-06-17 19:20"))
    return book_folder


def test_the_guess_comes_before_the_reveal(sailed_book: Path) -> None:
    with pytest.raises(InputError, match="nobody has guessed"):
        home(sailed_book, who="coach")
    guess(sailed_book, "trim", who="coach")
    guess(sailed_book, "tack", words="slow out of them", who="coach")
    found = home(sailed_book, who="coach")
    assert found.guess is not None
    assert (found.guess.cause, found.guess.words) == ("tack", "slow out of them")
    assert "You guessed: tacks." in found.verdict
    with pytest.raises(InputError, match="revealed"):
        guess(sailed_book, "heel", who="coach")
    assert home(sailed_book, who="coach").verdict == found.verdict, "once seen it may be seen again"


def test_the_reveal_keeps_the_ledger_once(sailed_book: Path) -> None:
    found = home(sailed_book, HomeAsked(no_guess=True), who="coach")
    home(sailed_book, who="coach")
    assert found.race is not None
    assert found.race.ledger is not None
    with open_records(sailed_book) as records:
        kept = records.book.history(REVEAL)
    assert len(kept) == 1
    shown = {one.name: round(one.seconds, 1) for one in found.race.ledger.shown}
    assert kept[0].payload["lost_s"] == shown
    assert found.verdict == "No guess was made."


@pytest.mark.parametrize("cause", list(CAUSES))
def test_every_guess_gets_an_honest_answer(sailed_book: Path, cause: str) -> None:
    guess(sailed_book, cause, who="coach")
    found = home(sailed_book, who="coach")
    assert found.race is not None
    assert found.race.ledger is not None
    told = [one.name for one in found.race.ledger.shown if one.seconds > 0.0]
    if cause in ("start", "tactics"):
        assert "No log of one boat" in found.verdict
    elif cause in found.race.ledger.withheld:
        assert "cannot be told apart" in found.verdict
    elif cause in told:
        assert f"{found.race.ledger.part(cause).seconds:.0f} s" in found.verdict
    else:
        assert "little of it" in found.verdict


def test_without_a_log_nothing_is_invented(empty_day: Path) -> None:
    guess(empty_day, "heel", who="coach")
    found = home(empty_day, who="coach")
    assert (found.debrief, found.race, dict(found.in_force), found.goals) == (None, None, {}, ())
    assert "no log" in found.unknown[0]
    assert "Nothing measured" in found.verdict


def test_an_outing_never_ended_is_said(book_folder: Path) -> None:
    start_outing(Door(book_folder, at="2026-06-17 18:25"))
    found = home(book_folder, HomeAsked(no_guess=True), who="coach")
    assert "never ended" in found.unknown[0]


def test_no_outing_and_no_such_cause(book_folder: Path) -> None:
    with pytest.raises(InputError, match="no outing yet"):
        home(book_folder, who="coach")
    with pytest.raises(InputError, match="cause"):
        guess(book_folder, "luck", who="coach")


def test_while_racing_there_is_no_home(empty_day: Path) -> None:
    lock(empty_day, TonightRequest(wind_kn=10.0), who="coach")
    with pytest.raises(RuleError, match="RRS 41"):
        home(empty_day, HomeAsked(no_guess=True), who="coach")
    unlock(empty_day, who="coach")
    home(empty_day, HomeAsked(no_guess=True), who="coach")


def test_only_noted_settings_are_confirmed(empty_day: Path) -> None:
    with pytest.raises(InputError, match="no settings"):
        confirm_settings(empty_day, who="coach")
    note_settings(Door(empty_day, at="2026-06-17 18:30"), {"backstay": 4.0})
    assert confirm_settings(empty_day, who="coach") == {"backstay": (4.0, "mark")}
    assert home(empty_day, HomeAsked(no_guess=True), who="coach").confirmed


def test_a_guess_is_kept_in_the_history(empty_day: Path) -> None:
    guess(empty_day, "heel", who="coach")
    with open_records(empty_day) as records:
        assert [one.value for one in records.book.history(GUESS)] == ["heel"]


def test_what_the_outing_before_left_open_is_judged_too(sailed_book: Path) -> None:
    start_outing(Door(sailed_book, at="2026-06-10 18:00"))
    set_goal(Door(sailed_book, outing="2026-06-10"), "tacks under 11 m")
    set_goal(Door(sailed_book, outing="2026-06-10"), "nobody shouts")
    judge_goal(Door(sailed_book, outing="2026-06-10"), 2, "met")
    end_outing(Door(sailed_book, outing="2026-06-10", at="2026-06-10 20:00"))
    found = home(sailed_book, HomeAsked(no_guess=True), who="coach")
    assert [(one.outing, one.number) for one in found.goals] == [("2026-06-17", 1)]
    assert [(one.outing, one.number) for one in found.goals_before] == [("2026-06-10", 1)]
    assert found.goals_before[0].met in (True, False)
    line = next(line for line in home_sheet(sailed_book, found).sections[6].lines if "tacks" in line)
    assert line.startswith("From 2026-06-10, still open: 1. tacks under 11 m: ")


def test_the_first_outing_has_none_before_it(empty_day: Path) -> None:
    assert home(empty_day, HomeAsked(no_guess=True), who="coach").goals == ()


def test_what_to_do_next_is_a_command_that_there_is(empty_day: Path) -> None:
    with pytest.raises(InputError, match="cringle outing set ROLE=NUMBER"):
        confirm_settings(empty_day, who="coach")


def test_another_baseline_is_refused_even_without_a_log(empty_day: Path) -> None:
    for name in ("nothing", "boat"):
        with pytest.raises(InputError, match="baseline"):
            home(empty_day, HomeAsked(None, name, no_guess=True), who="coach")


def test_the_rig_noted_is_among_the_settings(empty_day: Path) -> None:
    lines = list(_settings(home(empty_day, HomeAsked(no_guess=True), who="coach")))
    assert lines[0].startswith("None were noted, and none are assumed.")
    note_rig(Door(empty_day, at="2026-06-17 18:30"), {"cap_port": 1.5, "lower_port": -1.0}, text="by count")
    rig, others = _settings(home(empty_day, HomeAsked(no_guess=True), who="coach"))
    assert rig == "Rig as noted: Cap port +1½, Lower port −1; by count."
    assert others.startswith("No other number was noted, and none is assumed.")
