from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from cringle.web.headers import CONTENT_POLICY, SECURITY_HEADERS


@pytest.mark.parametrize(
    "path", ["/", "/join", "/static/page.css", "/api/session", "/nowhere", "/api/nowhere"]
)
def test_every_answer_carries_them(here: TestClient, path: str) -> None:
    answer = here.get(path)
    assert {name: answer.headers.get(name) for name in SECURITY_HEADERS} == SECURITY_HEADERS
    assert "cache-control" in answer.headers


def test_nothing_inside_a_page_may_run() -> None:
    assert "unsafe" not in CONTENT_POLICY
    assert "default-src 'none'" in CONTENT_POLICY
    assert "http" not in CONTENT_POLICY


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8040", "127.0.0.1:1", "", "127.0.0.1"])
def test_a_strange_host_is_refused(here: TestClient, host: str) -> None:
    answer = here.get("/api/session", headers={"host": host})
    assert answer.status_code == 421
    assert answer.json()["next_step"]
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:8040", "http://127.0.0.1:8041"]
)
def test_a_page_of_somebody_else_changes_nothing(here: TestClient, origin: str) -> None:
    answer = here.put("/api/racing", json={"racing": True}, headers={"origin": origin})
    assert answer.status_code == 421
    assert here.put(
        "/api/racing", json={"racing": True}, headers={"origin": "http://127.0.0.1:8040"}
    ).is_success
