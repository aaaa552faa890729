"""Every route with every role: who may, who may not, and nothing changes without the token."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from cringle.web.guards import is_loopback

OPEN = {"/api/session", "/api/join", "/join", "/static/{name}", "/favicon.ico"}
COACH = {
    ("PUT", "/api/numbers/cell"),
    ("POST", "/api/numbers/restore"),
    ("GET", "/api/book/check"),
    ("GET", "/api/book/backup.zip"),
    ("GET", "/api/book/history.jsonl"),
    ("POST", "/api/book/import"),
    ("POST", "/api/access/codes"),
    ("POST", "/api/access/out"),
    ("PUT", "/api/work-list"),
    ("POST", "/api/uploads/{kind}"),
    ("POST", "/api/logs/{log}/corrections"),
    ("POST", "/api/logs/{log}/corrections/undo"),
    ("POST", "/api/home/goals"),
    ("POST", "/api/home/actions"),
    ("POST", "/api/trials/plan"),
    ("POST", "/api/trials/judge"),
    ("PUT", "/api/trials/decision"),
    ("GET", "/api/shelf"),
    ("GET", "/api/shelf/compare"),
    ("POST", "/api/shelf/share"),
    ("POST", "/api/visit"),
    ("PUT", "/api/rig/turns"),
    ("PUT", "/api/crew/weight"),
    ("PUT", "/api/crew/places"),
}


def routes(app: FastAPI) -> list[tuple[str, str]]:
    """Return method and path of every route."""
    found = []
    for router in app.state.routers:
        found += [
            (method, route.path)
            for route in router.routes
            if isinstance(route, APIRoute)
            for method in sorted(route.methods)
        ]
    return found


def asked(client: TestClient, method: str, path: str) -> int:
    return client.request(
        method, path.replace("{name}", "x"), json={} if method != "GET" else None
    ).status_code


def test_the_list_is_not_empty(app: FastAPI) -> None:
    assert len(routes(app)) > 20
    assert set(routes(app)) >= COACH


def test_a_stranger_gets_in_nowhere(app: FastAPI, stranger: TestClient) -> None:
    for method, path in routes(app):
        if path in OPEN:
            continue
        wanted = 401 if path.startswith("/api") else 303
        assert asked(stranger, method, path) == wanted, (method, path)


def test_the_crew_do_not_get_what_is_the_coachs(app: FastAPI, crew: TestClient) -> None:
    for method, path in routes(app):
        if path in {*OPEN, "/api/live", "/api/leave"}:
            continue
        found = asked(crew, method, path)
        if (method, path) in COACH:
            assert found == 403, (method, path)
        else:
            assert found not in (401, 403), (method, path, found)


def test_no_change_without_the_token(app: FastAPI, here: TestClient, crew: TestClient) -> None:
    for client in (here, crew):
        del client.headers["X-Cringle-Token"]
        for method, path in routes(app):
            if method == "GET" or path in OPEN:
                continue
            assert asked(client, method, path) == 403, (method, path)


def test_the_token_of_somebody_else_is_none(join: Callable[[str], TestClient], crew: TestClient) -> None:
    other = join("crew")
    other.headers["X-Cringle-Token"] = crew.headers["X-Cringle-Token"]
    assert other.put("/api/racing", json={"racing": True}).status_code == 403


@pytest.mark.parametrize(
    ("address", "is_here"),
    [("127.0.0.1", True), ("127.8.0.1", True), ("::1", True), ("192.168.4.2", False), ("testclient", False)],
)
def test_only_this_machine_needs_no_code(address: str, is_here: bool) -> None:
    class Request:
        client = type("Client", (), {"host": address})

    assert is_loopback(Request()) is is_here  # type: ignore[arg-type]  # only the address is looked at


def test_a_forwarded_address_is_not_believed(stranger: TestClient) -> None:
    answer = stranger.get(
        "/api/tonight", headers={"x-forwarded-for": "127.0.0.1", "forwarded": "for=127.0.0.1"}
    )
    assert answer.status_code == 401
