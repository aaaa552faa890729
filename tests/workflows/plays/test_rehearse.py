"""Keeping timed runs."""

from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.plays.as_json import rehearsed_json, skills_json
from cringle.workflows.plays.open import CrewAsked, chosen_hands, hands_of, open_playbook, recorded_runs
from cringle.workflows.plays.play import check_play, risk_of
from cringle.workflows.plays.rehearse import RunSaid, record_run, record_taps, rehearsed, skills_grid


def test_a_run_is_kept_and_changes_the_times(book_folder):
    before = check_play(book_folder, "tack").checked.plan.makespan_s
    found = record_run(book_folder, "tack", RunSaid({"cross_jib": 4.0}, 14.0, note="wet sheet"), who="Ines")
    assert len(found.runs) == 1
    assert found.timings["cross_jib"].runs == 1
    assert check_play(book_folder, "tack").checked.plan.makespan_s > before
    (run,) = recorded_runs(book_folder)
    assert run.times_s == {"cross_jib": 4.0}
    assert run.people == {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}
    assert run.note == "wet sheet"


def test_a_run_ashore_is_kept_and_changes_nothing(book_folder):
    before = check_play(book_folder, "tack").checked.plan.makespan_s
    found = record_run(book_folder, "tack", RunSaid({"cross_jib": 4.0}, afloat=False))
    assert found.progress[0].afloat == 0
    assert_allclose(check_play(book_folder, "tack").checked.plan.makespan_s, before)


def test_risk_says_what_was_learned(book_folder):
    record_run(book_folder, "tack", RunSaid({"cross_jib": 4.0}))
    assert set(risk_of(book_folder, "tack").learned) == {"cross_jib"}


def test_progress_over_outings(book_folder):
    record_run(book_folder, "tack", RunSaid(total_s=15.0))
    outing = start_outing(Door(book_folder))
    record_run(book_folder, "tack", RunSaid(total_s=12.0))
    record_run(book_folder, "tack", RunSaid(total_s=13.0))
    data = rehearsed_json(rehearsed(book_folder, "tack"))
    assert data["runs"] == 3
    assert data["progress"][-1]["day"] == outing.id
    assert data["progress"][-1]["best_s"] == 12.0


def test_the_skills_grid_feeds_the_dealing(book_folder):
    keo = next(one for one in hands_of(open_playbook(book_folder).files.crew_file) if one.id == "keo")
    assert "helm" not in keo.roles
    record_run(book_folder, "tack", RunSaid(total_s=20.0, people={"helm": "keo"}))
    (row,) = skills_grid(book_folder)
    assert (row.person, row.role, row.play, row.runs) == ("keo", "helm", "tack", 1)
    assert skills_json([row])["seen"][0]["person"] == "keo"
    hands = chosen_hands(open_playbook(book_folder), CrewAsked())
    assert "helm" in next(one for one in hands if one.id == "keo").roles


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (RunSaid({"juggle": 2.0}), "no action 'juggle'"),
        (RunSaid({"cross_jib": -2.0}), "accepted 0"),
        (RunSaid(total_s=0.0), "total"),
        (RunSaid(), "nothing was timed"),
        (RunSaid(total_s=9.0, people={"helm": "nobody"}), "nobody 'nobody'"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(book_folder, said, message):
    with pytest.raises(InputError, match=message):
        record_run(book_folder, "tack", said)
    assert recorded_runs(book_folder) == ()


def test_no_records_yet(book_folder):
    assert recorded_runs(book_folder) == ()
    assert skills_grid(book_folder) == []
    assert rehearsed(book_folder, "tack").runs == ()


def test_taps_become_durations(book_folder):
    found = record_taps(book_folder, "tack", {"call": 1.5, "look": 2.5, "turn_up": 5.0}, RunSaid(note="calm"))
    (run,) = recorded_runs(book_folder)
    assert run.total_s == 5.0
    assert_allclose(run.times_s["look"], 1.0)
    assert found.runs[0].note == "calm"


@pytest.mark.parametrize("taps", [{"call": 0.1, "look": 0.2}, {"dance": 4.0}, {}])
def test_taps_of_nobody_are_not_kept(book_folder, taps):
    with pytest.raises(InputError):
        record_taps(book_folder, "tack", taps, RunSaid())
    assert recorded_runs(book_folder) == ()
