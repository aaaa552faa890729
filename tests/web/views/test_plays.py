"""The steps of a play."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.web.views.plays import PlayView, steps_of
from cringle.web.views.studies import Studied
from cringle.workflows.plays.open import open_playbook
from cringle.workflows.plays.rehearse import rehearsed
from cringle.workflows.serving.studies import study


@pytest.fixture
def view(folder: Path) -> PlayView:
    play = open_playbook(folder).load("tack").play
    answer = study(folder, "play", {"play": "tack"})["answer"]
    names = {"ines": "Ines"}
    return PlayView(
        play, Studied("", "", answer), steps_of(play, answer, names), rehearsed(folder, "tack"), names
    )


def test_steps_stand_in_the_order_of_time_with_names(view: PlayView) -> None:
    starts = [one.start_s for one in view.steps]
    assert starts == sorted(starts)
    assert view.steps[0].who == "Ines"
    assert {one.action.id for one in view.steps} == {one.id for one in view.play.actions}
    assert all(one.slack_s == pytest.approx(0.0) for one in view.steps if one.decides)


def test_a_rehearsal_leaves_out_what_is_held_and_follows_the_ends(view: PlayView) -> None:
    ends = [one.end_s for one in view.tapped]
    assert ends == sorted(ends)
    assert not any(one.action.hold for one in view.tapped)


def test_words_are_what_is_called_else_what_is_done(view: PlayView) -> None:
    for one in view.steps:
        assert one.words == (f"“{one.action.say}”" if one.action.say else one.action.do)


def test_no_steps_while_nothing_is_known(view: PlayView) -> None:
    assert steps_of(view.play, None, {}) == ()
    assert steps_of(view.play, {"check": {"feasible": False}, "risk": None}, {}) == ()
