"""Errands: plain values both ways, each kind does what the command does."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import pytest
from trial_days import ROLE, keep

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.afloat.logs import list_logs
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.outing import Door, end_outing, show_outing, start_outing
from cringle.workflows.round.home import guess_seen
from cringle.workflows.serving.errands import KINDS, Errand, run_errand
from cringle.workflows.trials.trial import TrialWish, plan_trial, start_trial, stop_trial


@pytest.fixture
def folder(tmp_path: Path, examples: Path) -> Path:
    own = tmp_path / "book"
    own.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, own / name)
    with Book.open(own, create=True, who="coach"):
        pass
    start_outing(Door(own))
    return own


def pocket(path: Path) -> Path:
    one = {
        "uid": str(uuid4()),
        "at_utc": datetime.now(UTC).isoformat(),
        "by": "Keo",
        "kind": "note",
        "text": "fast",
    }
    found = {"format": "cringle-pocket/1", "boat": "Brindle", "entries": [one]}
    path.write_text(json.dumps(found), encoding="utf-8")
    return path


def test_an_errand_survives_being_told(tmp_path: Path) -> None:
    one = Errand("log", tmp_path, "Ines", tmp_path / "a.nmea", {"prefer": "ours"})
    assert Errand.from_json(json.loads(json.dumps(one.to_json()))) == one
    assert Errand.from_json(Errand("x", tmp_path, "Ines").to_json()).path is None


def test_a_log_is_kept_with_progress(folder: Path, examples: Path) -> None:
    steps: list[tuple[int, int]] = []
    errand = Errand("log", folder, "coach", examples / "evening.nmea")
    found = run_errand(errand, lambda done, total: steps.append((done, total)))
    assert found["logs"][0]["rows"] == list_logs(folder)[0].rows > 2000
    assert steps[-1][0] == steps[-1][1]
    json.dumps(found, allow_nan=False)


@pytest.mark.parametrize("kind", ["pocket", "history"])
def test_notes_are_taken_in_once(folder: Path, tmp_path: Path, kind: str) -> None:
    errand = Errand(kind, folder, "coach", pocket(tmp_path / "notes.json"))
    assert [run_errand(errand)["taken"] for _ in range(2)] == [1, 0]


def test_what_is_no_history_is_refused(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "x"
    path.write_bytes(b"%PDF")
    with pytest.raises(InputError, match="no history"):
        run_errand(Errand("history", folder, "coach", path))


@pytest.mark.parametrize("kind", ["log", "pocket", "history"])
def test_without_a_file_it_says_so(folder: Path, kind: str) -> None:
    assert kind in KINDS
    with pytest.raises(InputError, match="no file"):
        run_errand(Errand(kind, folder, "coach"))


def test_an_unknown_kind_is_refused(folder: Path) -> None:
    with pytest.raises(InputError, match="no errand"):
        run_errand(Errand("fly", folder, "coach"))


@pytest.fixture
def log(folder: Path, examples: Path) -> str:
    """Return the hash of a kept log."""
    return str(run_errand(Errand("log", folder, "coach", examples / "evening.nmea"))["logs"][0]["sha256"])


def test_a_debrief_keeps_that_the_crew_has_seen_it(folder: Path, log: str) -> None:
    end_outing(Door(folder))
    outing = show_outing(folder).id
    found = run_errand(Errand("debrief", folder, "Keo", asked={"log": log, "outing": outing}))
    json.dumps(found, allow_nan=False)
    assert found["body"].index("What the data cannot tell") < found["body"].index("What happened")
    assert guess_seen(folder, outing).revealed


def test_a_correction_is_kept_and_one_that_does_not_fit_is_not(folder: Path, log: str) -> None:
    one = {"action": "remove", "what": "manoeuvre", "number": 1}
    asked = {"log": log, "why": "a drill", "corrections": [one]}
    kept = run_errand(Errand("correct", folder, "coach", asked=asked))["corrections"]
    assert [(each["number"], each["why"]) for each in kept] == [(1, "a drill")]
    wrong = {**asked, "corrections": [{**one, "number": 99}]}
    with pytest.raises(InputError, match="no manoeuvre 99"):
        run_errand(Errand("correct", folder, "coach", asked=wrong))


def test_home_a_season_and_a_visit_are_plain_values(folder: Path, log: str) -> None:
    for kind, asked in (("home", {"no_guess": True}), ("season", {}), ("visit", {})):
        json.dumps(run_errand(Errand(kind, folder, "coach", asked=asked)), allow_nan=False)
    body = run_errand(Errand("season", folder, "coach"))["body"]
    assert "evening.nmea" in body
    assert log not in body


def test_evidence_has_a_picture_a_role_in_the_pages_colours(folder: Path, examples: Path) -> None:
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="coach")
    keep(folder, 2, 3.0)
    found = run_errand(Errand("evidence", folder, "coach", asked={"sea": "chop", "gear": "settled"}))
    picture = found["roles"][0]["picture"]
    assert "var(--tape)" in picture
    assert "#" not in picture.replace("&#", "")
    json.dumps(found, allow_nan=False)


def test_a_trial_is_judged_in_words(folder: Path, examples: Path) -> None:
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="coach")
    plan_trial(folder, TrialWish({ROLE: 3.0}, 12.0), who="Ines")
    start_trial(Door(folder))
    stop_trial(Door(folder))
    asked = {"trial": "t1", "ours": None, "other": None, "note": "felt slow"}
    found = run_errand(Errand("judge", folder, "coach", asked=asked))
    assert (found["used"], found["picture"]) == (False, None)
    with pytest.raises(InputError, match="no such log"):
        run_errand(Errand("judge", folder, "coach", asked={**asked, "ours": "0" * 64}))
