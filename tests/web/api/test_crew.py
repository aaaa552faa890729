"""People over the API."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

WEIGHT = {"person": "ines", "mass_kg": 67.0, "seen_kg": 66.0}


def places(client: TestClient) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.get("/api/crew/places").json()["places"]
    return found


def test_the_coach_writes_a_weight_and_a_second_writer_gets_a_choice(here: TestClient) -> None:
    assert here.put("/api/crew/weight", json=WEIGHT).json() == {
        "person": "ines",
        "mass_kg": 67.0,
        "before_kg": 66.0,
    }
    answer = here.put("/api/crew/weight", json={**WEIGHT, "mass_kg": 65.0})
    assert answer.status_code == 409
    assert answer.json()["clashes"][0]["theirs"] == "67 kg"
    people = here.get("/api/crew/people").json()
    assert people["crew_kg"] == 321.0


def test_the_crew_reads_and_does_not_write(crew: TestClient) -> None:
    assert crew.get("/api/crew/people").status_code == 200
    assert crew.put("/api/crew/weight", json=WEIGHT).status_code == 403
    told = {"places": places(crew), "seen": places(crew)}
    assert crew.put("/api/crew/places", json=told).status_code == 403


def test_places_are_kept(here: TestClient) -> None:
    before = places(here)
    after = [{**one, "posture": "legs in"} for one in before]
    assert here.put("/api/crew/places", json={"places": after, "seen": before}).json()["places"] == after
    assert here.put("/api/crew/places", json={"places": after, "seen": before}).status_code == 409


def test_other_places_are_priced_for_everybody_ashore(here: TestClient, crew: TestClient) -> None:
    found = crew.get("/api/crew/price?wind_kn=12&place=tobias|rail_2|legs in").json()
    assert found["cost_s_per_mile"] > 0.0
    wrong = crew.get("/api/crew/price?wind_kn=12&place=tobias|moon|hike")
    assert wrong.status_code == 422
    assert "moon" in wrong.json()["message"]
    here.put("/api/racing", json={"racing": True})
    assert crew.get("/api/crew/price?wind_kn=12").status_code == 423


@pytest.mark.parametrize(
    "path", ["/api/crew", "/api/crew/depower", "/api/crew/people", "/api/crew/price?wind_kn=9"]
)
def test_strangers_see_nothing(stranger: TestClient, path: str) -> None:
    assert stranger.get(path).status_code == 401
