"""Answers as plain values: keys, units, unknown as null."""

from __future__ import annotations

import json

import pytest

from cringle.plays.simulate import RiskSettings
from cringle.workflows.plays import as_json as play_json
from cringle.workflows.plays.learn import learn_from_log
from cringle.workflows.plays.open import CrewAsked
from cringle.workflows.plays.play import check_play, deal_anew, duties_of, list_plays, risk_of
from cringle.workflows.plays.rehearse import RunSaid, record_run, rehearsed, skills_grid

NO_UNIT = {
    "schema", "play", "feasible", "proven", "critical", "who", "conflicts", "loop", "warnings",
    "cautions", "hands", "status", "changes", "reason", "done_by", "p_done", "criticality",
    "samples", "learned", "legs", "duties", "holes", "overlaps", "loads", "runs", "progress",
    "timings", "plays", "seen", "kept", "known", "untimed",
}  # fmt: skip


@pytest.fixture
def answers(book_folder, examples):
    record_run(book_folder, "tack", RunSaid({"cross_jib": 2.5}, 12.0))
    return {
        "list": play_json.listed_json(list_plays(book_folder)),
        "check": play_json.checked_json(check_play(book_folder, "gybe_kite")),
        "deal": play_json.dealt_json(deal_anew(book_folder, "tack", CrewAsked(hands=3))),
        "risk": play_json.risk_json(risk_of(book_folder, "set_wing", settings=RiskSettings(300))),
        "duties": play_json.duties_json(duties_of(book_folder)),
        "rehearse": play_json.rehearsed_json(rehearsed(book_folder, "tack")),
        "skills": play_json.skills_json(skills_grid(book_folder)),
        "learn": play_json.learned_json(learn_from_log(book_folder, "tack", examples / "evening.nmea")),
    }


def test_every_answer_names_its_schema_and_is_plain(answers):
    for data in answers.values():
        assert data["schema"] == 1
        json.dumps(data, allow_nan=False)


def test_every_number_carries_its_unit(answers):
    for name, data in answers.items():
        for key in data:
            assert key in NO_UNIT or key.endswith("_s"), (name, key)


def test_ids_are_those_of_the_play(answers, book_folder):
    ids = {one.id for one in check_play(book_folder, "gybe_kite").play.actions}
    check = answers["check"]
    assert set(check["slack_s"]) == set(check["start_s"]) == set(check["who"]) == ids
    assert set(check["critical"]) <= ids


def test_unknown_is_null(answers):
    assert answers["deal"]["reason"] is None
    assert answers["rehearse"]["progress"][0]["best_s"] == 12.0
    assert answers["learn"]["progress"][0]["best_s"] is None


def test_numbers_are_rounded(answers):
    for value in answers["risk"]["criticality"].values():
        assert value == round(value, 3)
