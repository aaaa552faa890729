"""Turns out of a log."""

from __future__ import annotations

import pytest

from cringle.errors import CringleError, InputError
from cringle.workflows.plays.learn import learn_from_log
from cringle.workflows.plays.open import recorded_runs
from cringle.workflows.plays.rehearse import skills_grid


def test_each_tack_of_a_log_becomes_a_run_once(book_folder, examples):
    first = learn_from_log(book_folder, "tack", examples / "evening.nmea")
    assert first.kept > 3
    assert first.untimed == 0
    assert first.rehearsed.timings["turn_up"].runs == first.kept
    assert first.rehearsed.timings["cross_jib"].runs == 0
    second = learn_from_log(book_folder, "tack", examples / "evening.nmea")
    assert (second.kept, second.known) == (0, first.kept)
    assert len(recorded_runs(book_folder)) == first.kept


def test_gybes_go_to_the_gybe_that_is_named(book_folder, examples):
    found = learn_from_log(book_folder, "gybe_kite", examples / "evening.nmea")
    assert found.rehearsed.timings["turn"].runs == found.kept > 0
    assert 1.0 < found.rehearsed.timings["turn"].mean_s < 20.0


def test_a_log_does_not_tell_who_had_the_helm(book_folder, examples):
    learn_from_log(book_folder, "tack", examples / "evening.nmea")
    assert skills_grid(book_folder) == []


def test_only_turns_can_be_timed(book_folder, examples):
    with pytest.raises(InputError, match="no tack or gybe"):
        learn_from_log(book_folder, "set_wing", examples / "evening.nmea")


def test_a_log_that_is_not_there(book_folder, tmp_path):
    with pytest.raises(CringleError):
        learn_from_log(book_folder, "tack", tmp_path / "gone.nmea")
    assert recorded_runs(book_folder) == ()
