"""Logs over the API: listed, debriefed, corrected, compared; nothing while racing."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from cringle.workflows.afloat.logs import read_into_book

NO_LOG = "0" * 64


@pytest.fixture
def key(folder: Path, examples: Path) -> str:
    """Return the hash of the demo's log, kept in the book."""
    return read_into_book([examples / "evening.nmea"], book=folder, who="coach")[0].sha256


def over(client: TestClient, told: dict[str, Any]) -> dict[str, Any]:
    """Return the work when it is over."""
    for _ in range(600):
        told = client.get(f"/api/errands/{told['id']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.1)
    pytest.fail(f"never over: {told}")


def test_a_debrief_is_worked_out_once_and_reported(crew: TestClient, key: str) -> None:
    assert [one["sha256"] for one in crew.get("/api/logs").json()["logs"]] == [key]
    path = f"/api/logs/{key}/debrief"
    assert crew.get(f"/api/logs/{key}/report.html").status_code == 404
    told = over(crew, crew.get(path).json())
    assert told["state"] == "done"
    assert told["result"]["debrief"]["tacks"] == 8
    assert crew.get(path).json()["id"] == told["id"]
    report = crew.get(f"/api/logs/{key}/report.html")
    assert "Keep, change, try" in report.text
    assert "attachment" in report.headers["content-disposition"]
    crew.post("/api/notes", json={"text": "fast"})
    assert crew.get(path).json()["id"] == told["id"], "a note changes nothing in what a log says"


def test_a_correction_moves_the_debrief_and_can_be_undone(here: TestClient, key: str) -> None:
    path = f"/api/logs/{key}"
    asked = {"corrections": [{"action": "remove", "what": "manoeuvre", "number": 1}], "why": "a drill"}
    assert over(here, here.post(f"{path}/corrections", json=asked).json())["state"] == "done"
    kept = here.get(f"{path}/corrections").json()["corrections"]
    assert [(one["why"], one["undone"]) for one in kept] == [("a drill", False)]
    assert over(here, here.get(f"{path}/debrief").json())["result"]["debrief"]["tacks"] == 7
    undone = here.post(f"{path}/corrections/undo", json={"numbers": [1]}).json()["corrections"]
    assert undone[0]["undone"] is True
    assert here.post(f"{path}/corrections/undo", json={"numbers": [1]}).status_code == 422
    assert over(here, here.get(f"{path}/debrief").json())["result"]["debrief"]["tacks"] == 8


def test_a_correction_that_fits_nothing_is_refused(here: TestClient, key: str) -> None:
    asked = {"corrections": [{"action": "remove", "what": "manoeuvre", "number": 99}]}
    told = over(here, here.post(f"/api/logs/{key}/corrections", json=asked).json())
    assert (told["state"], "no manoeuvre 99" in told["problem"]["message"]) == ("failed", True)
    bad = {"corrections": [{"action": "paint", "what": "tack"}]}
    assert here.post(f"/api/logs/{key}/corrections", json=bad).status_code == 422


@pytest.mark.parametrize("path", ["debrief", "report.html", "corrections"])
def test_a_log_that_is_not_there_is_said(here: TestClient, path: str) -> None:
    answer = here.get(f"/api/logs/{NO_LOG}/{path}")
    assert answer.status_code == 422
    assert "no such log" in answer.json()["message"]
    assert here.get(f"/api/logs/etc/{path}").status_code == 422


def test_two_boats_need_two_logs(here: TestClient, key: str) -> None:
    answer = here.get("/api/logs/pair", params={"first": key, "second": key})
    assert answer.status_code == 422
    assert "two different" in answer.json()["message"]


def test_nothing_is_said_while_racing(here: TestClient, key: str) -> None:
    here.put("/api/racing", json={"racing": True})
    asked = {"corrections": [{"action": "remove", "what": "manoeuvre", "number": 1}]}
    for answer in (
        here.get(f"/api/logs/{key}/debrief"),
        here.get(f"/api/logs/{key}/report.html"),
        here.get("/api/logs/pair", params={"first": key, "second": NO_LOG}),
        here.post(f"/api/logs/{key}/corrections", json=asked),
        here.get("/api/home"),
    ):
        assert answer.status_code == 423
        assert "RRS 41" in answer.json()["message"]
