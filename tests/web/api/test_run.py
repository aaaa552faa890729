"""The run and lanes as JSON."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

pytestmark = pytest.mark.usefixtures("at_once")


def test_a_lane_is_priced(crew: TestClient) -> None:
    found = crew.get("/api/run/lane?question=layline&wind_kn=10&right_m=80&ahead_m=600").json()
    assert found["state"] == "done"
    assert found["result"]["answer"]["question"] == "layline"
    assert found["result"]["answer"]["gain_m_low"] <= found["result"]["answer"]["gain_m_high"]


@pytest.mark.parametrize("query", ["", "wind_kn=90", "wind_kn=10&question=luck", "wind_kn=10&depth_m=3"])
def test_what_cannot_be_asked_is_said_by_field(crew: TestClient, query: str) -> None:
    answer = crew.get(f"/api/run/lane?{query}")
    assert answer.status_code == 422
    assert answer.json()["fields"]


@pytest.mark.parametrize("path", ["/api/run", "/api/run/lane?wind_kn=10"])
def test_no_advice_while_racing_and_none_for_strangers(
    here: TestClient, stranger: TestClient, path: str
) -> None:
    assert stranger.get(path).status_code == 401
    here.put("/api/racing", json={"racing": True})
    assert here.get(path).status_code == 423
