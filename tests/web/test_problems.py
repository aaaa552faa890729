from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from cringle.errors import (
    BookError,
    BookFileError,
    Clash,
    ConflictError,
    CringleError,
    Finding,
    InputError,
    OutOfRangeError,
)
from cringle.web.problems import MEANINGS, ProblemError, answers, install, problem_of, status_of

CLASH = Clash(key="vang at 10 kn", yours="5", theirs="6", who="Keo", at="18:30", base="4")
MISTAKE = Finding("is empty", Path("boat.toml"), line=3, field="boat.name")


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (ConflictError([CLASH]), 409),
        (BookError("cannot be opened"), 503),
        (BookFileError([MISTAKE]), 503),
        (InputError("no such role"), 422),
        (OutOfRangeError("true wind speed", found=99.0, low=0.0, high=60.0), 422),
    ],
    ids=lambda one: type(one).__name__,
)
def test_each_kind_of_error_has_its_status(error: CringleError, status: int) -> None:
    assert status_of(error) == status


def test_a_clash_shows_both_values() -> None:
    (seen,) = problem_of(ConflictError([CLASH])).clashes
    assert (seen.yours, seen.theirs, seen.who) == ("5", "6", "Keo")


def test_a_mistake_in_a_file_names_its_field() -> None:
    (field,) = problem_of(BookFileError([MISTAKE])).fields
    assert (field.field, field.message) == ("boat.name", "is empty")


def test_the_description_always_knows_the_usual_errors() -> None:
    assert set(answers()) == {400, 413, 422, 503}
    assert set(answers(409, 423)) == {400, 409, 413, 422, 423, 503}
    assert all(one["description"] for one in answers(*MEANINGS).values())


@pytest.fixture
def client() -> TestClient:
    app = FastAPI()
    install(app)

    def door(error: Exception) -> Callable[[], None]:
        def opened() -> None:
            raise error

        return opened

    for name, error in {
        "book": BookError("the book is locked", next_step="wait a moment"),
        "often": ProblemError(429, "too often", "wait", wait_s=30),
        "join": ProblemError(401, "join first", "open /join"),
    }.items():
        for place in ("/api/", "/"):
            app.add_api_route(place + name, door(error))
    app.add_api_route("/api/whole", lambda number: number, methods=["POST"])
    return TestClient(app, follow_redirects=False)


def test_the_api_answers_in_json_and_a_page_in_words(client: TestClient) -> None:
    told = client.get("/api/book")
    assert told.status_code == 503
    assert (told.json()["message"], told.json()["next_step"]) == ("the book is locked", "wait a moment")
    page = client.get("/book")
    assert page.status_code == 503
    assert "the book is locked" in page.text
    assert "wait a moment" in page.text


def test_who_asks_too_often_is_told_how_long_to_wait(client: TestClient) -> None:
    assert client.get("/api/often").headers["retry-after"] == "30"
    assert client.get("/often").headers["retry-after"] == "30"


def test_a_page_sends_a_stranger_to_the_door_and_the_api_says_so(client: TestClient) -> None:
    assert client.get("/join").headers["location"] == "/join"
    assert client.get("/api/join").status_code == 401


def test_a_missing_field_is_named(client: TestClient) -> None:
    told = client.post("/api/whole")
    assert told.status_code == 422
    assert told.json()["fields"][0]["field"] == "number"


def test_what_is_not_there_is_said_in_our_words(client: TestClient) -> None:
    assert client.get("/api/nothing").json()["message"] == MEANINGS[404]
    assert MEANINGS[404] in client.get("/nothing").text
    json.dumps(client.get("/api/nothing").json())
