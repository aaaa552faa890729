"""The page Trials as it is sent: by role, while racing, with and without anything on it."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient
from trial_days import ROLE, keep

from cringle.workflows.trials.accept import Place, decide

PLAN = {"role": ROLE, "value": 3.0, "wind_kn": 12.0, "beside": "Sorrel"}


def test_by_role(here: TestClient, crew: TestClient) -> None:
    here.post("/api/trials/plan", json=PLAN)
    mine, theirs = here.get("/trials").text, crew.get("/trials").text
    assert 'id="plan"' in mine
    assert 'id="plan"' not in theirs
    assert "Start, change with us" in theirs


def test_the_clock_of_a_trial_that_goes_on(here: TestClient, crew: TestClient) -> None:
    here.post("/api/trials/plan", json=PLAN)
    crew.post("/api/trials/start", json={})
    text = crew.get("/trials").text
    assert 'role="timer"' in text
    assert "keep a lookout" in text
    crew.post("/api/trials/stop", json={})
    assert "To be judged" in here.get("/trials").text
    assert "To be judged" not in crew.get("/trials").text


def test_racing_names_nothing_to_try(here: TestClient) -> None:
    here.put("/api/racing", json={"racing": True})
    text = here.get("/trials").text
    assert "RRS 41" in text
    assert "What to try" not in text
    assert "What the trials say" not in text


def test_decisions_can_be_undone_by_the_coach(here: TestClient, crew: TestClient, folder: Path) -> None:
    keep(folder, 4, 3.0)
    decide(folder, Place(ROLE, 12.0), who="Ines", why="<b>four evenings</b>")
    text = here.get("/trials").text
    assert 'data-decide="undo"' in text
    assert "&lt;b&gt;four" in text
    assert 'data-decide="undo"' not in crew.get("/trials").text


def test_a_wrong_row_and_an_old_result_are_no_accident(here: TestClient) -> None:
    assert here.get("/trials", params={"wind_kn": "much"}).status_code == 422
    assert here.get("/trials", params={"judged": "long ago"}).status_code == 200
