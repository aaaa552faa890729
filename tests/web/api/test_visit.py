"""A coach's visit over the API."""

from __future__ import annotations

import time
from typing import Any

import pytest
from starlette.testclient import TestClient


def over(client: TestClient, told: dict[str, Any]) -> dict[str, Any]:
    for _ in range(900):
        told = client.get(f"/api/errands/{told['id']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.1)
    pytest.fail(f"never over: {told}")


def test_a_visit_is_noted_reported_and_printed(here: TestClient, crew: TestClient) -> None:
    said = {"found": ["the vang cleat slips"], "done": ["marked the vang"]}
    assert crew.post("/api/visit", json=said).status_code == 403
    assert here.post("/api/visit", json=said).json()["visit"]
    told = over(crew, crew.get("/api/visit").json())
    assert told["state"] == "done", told
    first = told["result"]["sheet"]["sections"][0]
    assert first["title"] == "Found"
    assert "vang cleat slips" in first["lines"][0]
    again = crew.get("/api/visit").json()
    assert again["id"] == told["id"]
    here.post("/api/visit", json={"next": ["renew the cleat"]})
    assert crew.get("/api/visit").json()["id"] != told["id"], "what was noted since belongs in it"
    assert crew.get("/api/visit/report.pdf").content.startswith(b"%PDF")


def test_an_unknown_visit_and_an_empty_sentence(here: TestClient) -> None:
    told = over(here, here.get("/api/visit", params={"visit": "1999-01-01"}).json())
    assert "no visit" in told["problem"]["message"]
    assert here.post("/api/visit", json={"found": ["  "]}).status_code == 422
