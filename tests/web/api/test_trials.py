"""Trials over the API: planned, sailed, judged, decided, undone; nothing to try while racing."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from trial_days import ROLE, keep

PLAN = {"role": ROLE, "value": 3.0, "wind_kn": 12.0, "beside": "Sorrel"}


def over(client: TestClient, told: dict[str, Any]) -> dict[str, Any]:
    for _ in range(600):
        told = client.get(f"/api/errands/{told['id']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.1)
    pytest.fail(f"never over: {told}")


def test_a_trial_is_planned_sailed_and_judged_in_words(here: TestClient, crew: TestClient) -> None:
    assert crew.post("/api/trials/plan", json=PLAN).status_code == 403
    planned = here.post("/api/trials/plan", json=PLAN)
    assert planned.is_success, planned.text
    assert planned.json()["minutes"] > 5
    assert crew.post("/api/trials/start", json={}).json()["state"] == "going on"
    assert crew.post("/api/trials/start", json={}).status_code == 422
    assert crew.post("/api/trials/change", json={}).json()["carried"][-1]["who"] == "them"
    assert crew.post("/api/trials/stop", json={}).json()["state"] == "stopped"
    judged = here.post("/api/trials/judge", json={"trial": "t1", "note": "felt slow"}).json()
    told = over(here, judged)
    assert told["state"] == "done", told
    assert (told["result"]["used"], told["result"]["picture"]) == (False, None)
    listed = crew.get("/api/trials").json()["trials"]
    assert [one["state"] for one in listed] == ["judged"]


def test_a_plan_may_only_be_looked_at(here: TestClient) -> None:
    assert here.post("/api/trials/plan", json={**PLAN, "only_show": True}).is_success
    assert here.get("/api/trials").json()["trials"] == []
    far = here.post("/api/trials/plan", json={**PLAN, "value": 9.0})
    assert far.status_code == 422
    assert "one step" in far.json()["message"]


def test_evidence_moves_the_table_and_undo_brings_it_back(here: TestClient, folder: Path) -> None:
    keep(folder, 4, 3.0)
    told = over(here, here.get("/api/trials/evidence").json())["result"]
    assert "var(--tape)" in told["roles"][0]["picture"]
    proposal = next(one for one in told["proposals"] if one["wind_kn"] == 12.0)
    place = {"role": ROLE, "wind_kn": 12.0}
    done = here.put("/api/trials/decision", json={**place, "decided": "accept", "why": "four evenings"})
    assert done.json()["decided"] == "accepted"
    cell = here.get("/api/numbers/cell", params={**place, "gear": "settled", "sea": "chop"}).json()
    assert cell["value"] == proposal["to"]
    assert here.get("/api/trials").json()["decisions"][0]["why"] == "four evenings"
    undone = here.put("/api/trials/decision", json={**place, "decided": "undo"})
    assert undone.json()["decided"] == "undone"
    declined = here.put("/api/trials/decision", json={**place, "decided": "decline"})
    assert declined.json()["decided"] == "declined"
    nothing = here.put("/api/trials/decision", json={**place, "wind_kn": 4.0, "decided": "accept"})
    assert nothing.status_code == 422


def test_three_things_to_try(crew: TestClient) -> None:
    told = over(crew, crew.get("/api/trials/suggest", params={"wind_kn": 12}).json())
    assert told["state"] == "done", told
    assert 1 <= len(told["result"]["tips"]) <= 3


def test_a_log_that_is_not_there_is_said(here: TestClient) -> None:
    here.post("/api/trials/plan", json=PLAN)
    here.post("/api/trials/start", json={})
    here.post("/api/trials/stop", json={})
    told = over(here, here.post("/api/trials/judge", json={"trial": "t1", "ours": "0" * 64}).json())
    assert "no such log" in told["problem"]["message"]


def test_no_advice_while_racing_but_the_clock_goes_on(here: TestClient) -> None:
    here.post("/api/trials/plan", json=PLAN)
    here.put("/api/racing", json={"racing": True})
    for answer in (
        here.get("/api/trials/suggest"),
        here.get("/api/trials/evidence"),
        here.post("/api/trials/plan", json=PLAN),
        here.post("/api/trials/judge", json={"trial": "t1", "note": "x"}),
        here.put("/api/trials/decision", json={"role": ROLE, "wind_kn": 12.0, "decided": "accept"}),
    ):
        assert answer.status_code == 423
    assert here.post("/api/trials/start", json={}).is_success
