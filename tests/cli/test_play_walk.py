"""Stepping through a play."""

from __future__ import annotations

from itertools import count

import pytest

from cringle.cli.play_walk import walk
from cringle.errors import InputError
from cringle.workflows.plays.open import recorded_runs
from cringle.workflows.plays.rehearse import RunSaid


def answers(*given):
    waiting = iter(given)
    return lambda: next(waiting, "")


def ticking(step=1.0):
    ticks = count(0)
    return lambda: step * next(ticks)


def test_every_tap_is_timed_and_kept(book_folder, capsys):
    found = walk(book_folder, "tack", RunSaid(), who="Ines", ask=answers(), clock=ticking())
    assert len(found.runs) == 1
    assert found.runs[0].total_s == 14.0
    assert found.runs[0].times_s["call"] == 1.0
    text = capsys.readouterr().out
    assert "HELM: Ines" in text
    assert "“TACKING”" in text
    assert "Enter when it is done" in text


def test_passing_over_leaves_an_action_without_a_time(book_folder):
    found = walk(book_folder, "tack", RunSaid(), who="Ines", ask=answers("", "s"), clock=ticking())
    assert "call" not in found.runs[0].times_s
    assert "look" in found.runs[0].times_s


def test_leaving_keeps_nothing(book_folder):
    with pytest.raises(InputError, match="nothing was kept"):
        walk(book_folder, "tack", RunSaid(), who="Ines", ask=answers("", "", "q"), clock=ticking())
    assert recorded_runs(book_folder) == ()


def test_taps_faster_than_anybody_works_are_not_kept(book_folder):
    with pytest.raises(InputError, match="nothing was kept"):
        walk(book_folder, "tack", RunSaid(), who="Ines", ask=answers(), clock=ticking(0.01))
    assert recorded_runs(book_folder) == ()


def test_nobody_there_to_tap(book_folder, monkeypatch):
    import io

    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    with pytest.raises(InputError, match="nobody is there to tap"):
        walk(book_folder, "tack", RunSaid(), who="Ines")


def test_note_and_people_go_with_the_run(book_folder):
    said = RunSaid(people={"helm": "keo"}, afloat=False, note="walked on the dock")
    found = walk(book_folder, "tack", said, who="Keo", ask=answers(), clock=ticking(0.5))
    assert found.runs[0].note == "walked on the dock"
    assert found.runs[0].people == {"helm": "keo"}
    assert not found.runs[0].afloat
