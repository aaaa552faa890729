from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.book.store import Book


def test_this_machine_is_the_coach(here: TestClient) -> None:
    told = here.get("/api/session").json()
    assert (told["role"], told["name"]) == ("coach", "coach")
    assert told["token"] == here.headers["X-Cringle-Token"]


@pytest.mark.parametrize("role", ["crew", "coach"])
def test_joining_gives_the_role_of_the_code(
    stranger: TestClient, codes: dict[str, str], folder: Path, role: str
) -> None:
    spoken = f" {codes[role][:3].lower()}-{codes[role][3:].lower()} "
    answer = stranger.post("/api/join", json={"code": spoken, "name": " Marit "})
    assert answer.status_code == 200
    assert (answer.json()["role"], answer.json()["name"]) == (role, "Marit")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert stranger.get("/").status_code == 200
    with Book.open(folder) as book:
        written = book.history("access")[-1]
    assert (written.who, written.key.subject, written.value) == ("Marit", role, "joined")
    assert written.payload["address"] == "192.168.4.44"


def test_wrong_codes_are_refused_then_slowed_down(stranger: TestClient, codes: dict[str, str]) -> None:
    for _ in range(5):
        assert stranger.post("/api/join", json={"code": "nope", "name": "Keo"}).status_code == 401
    slow = stranger.post("/api/join", json={"code": codes["crew"], "name": "Keo"})
    assert slow.status_code == 429
    assert int(slow.headers["retry-after"]) > 50


@pytest.mark.parametrize(
    "told",
    [
        {},
        {"code": "", "name": "Keo"},
        {"code": "x", "name": "  "},
        {"code": "x", "name": "a\nb"},
        {"code": 1, "name": []},
    ],
)
def test_a_wrong_form_names_its_field(stranger: TestClient, told: dict[str, object]) -> None:
    answer = stranger.post("/api/join", json=told)
    assert answer.status_code == 422
    assert answer.json()["fields"]


def test_a_form_from_another_page_is_not_read(stranger: TestClient, codes: dict[str, str]) -> None:
    told = f'{{"code": "{codes["crew"]}", "name": "Keo"}}'
    answer = stranger.post("/api/join", content=told, headers={"content-type": "text/plain"})
    assert answer.status_code == 422


def test_leaving_ends_it(crew: TestClient) -> None:
    assert crew.get("/api/tonight").status_code == 200
    assert crew.post("/api/leave").json()["role"] is None
    assert crew.get("/api/tonight").status_code == 401
