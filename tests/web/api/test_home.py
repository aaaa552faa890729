"""Home over the API: the guess comes first; goals, settings and actions."""

from __future__ import annotations

import time
from typing import Any

import pytest
from starlette.testclient import TestClient


def over(client: TestClient, told: dict[str, Any]) -> dict[str, Any]:
    for _ in range(600):
        told = client.get(f"/api/errands/{told['id']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.1)
    pytest.fail(f"never over: {told}")


def test_the_guess_comes_first_and_none_after(crew: TestClient) -> None:
    answer = crew.get("/api/home")
    assert answer.status_code == 409
    assert "guess" in answer.json()["next_step"]
    assert crew.post("/api/home/guess", json={"cause": "magic"}).status_code == 422
    assert crew.post("/api/home/guess", json={"cause": "tack", "words": "slow"}).is_success
    told = over(crew, crew.get("/api/home").json())
    assert told["result"]["home"]["guess"] == {"cause": "tack", "words": "slow"}
    titles = [one["title"] for one in told["result"]["sheet"]["sections"]]
    assert titles[0] == "What the data cannot tell"
    late = crew.post("/api/home/guess", json={"cause": "gybe"})
    assert "revealed" in late.json()["message"]


def test_the_crew_may_say_that_it_will_not_guess(crew: TestClient) -> None:
    told = over(crew, crew.get("/api/home", params={"no_guess": True}).json())
    assert told["result"]["home"]["verdict"] == "No guess was made."
    assert crew.get("/api/home").is_success


def test_goals_are_set_by_the_coach_and_judged_by_the_crew(here: TestClient, crew: TestClient) -> None:
    assert crew.post("/api/home/goals", json={"text": "tacks under 9 m"}).status_code == 403
    made = here.post("/api/home/goals", json={"text": "tacks under 9 m"}).json()
    assert made["goals"][0]["state"] == "open"
    for state in ("met", "open"):
        found = crew.put("/api/home/goals", json={"number": 1, "state": state}).json()
        assert found["goals"][0]["state"] == state
    assert crew.put("/api/home/goals", json={"number": 3, "state": "met"}).status_code == 422


def test_actions_go_to_roles(here: TestClient, crew: TestClient) -> None:
    asked = {"text": "call the heel aloud", "route": "drill", "owner": "main"}
    made = here.post("/api/home/actions", json=asked).json()
    assert (made["route"], made["found_in"]) == ("drill", "cringle plan")
    named = here.post("/api/home/actions", json={**asked, "text": "Keo shall look up"})
    assert "names Keo" in named.json()["message"]
    assert crew.post("/api/home/actions/close", json={"id": made["id"]}).json()["state"] == "closed"
    assert crew.post("/api/home/actions/close", json={"id": made["id"]}).status_code == 422


def test_only_what_was_noted_is_confirmed(crew: TestClient) -> None:
    assert crew.post("/api/home/settings", json={}).status_code == 422
    crew.post("/api/settings-in-force", json={"values": {"vang": 4.0}})
    found = crew.post("/api/home/settings", json={})
    assert found.json()["settings"] == {"vang": 4.0}
