"""The pages Afloat and Home as they are sent: gates, locks, roles, empty states."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.workflows.afloat.logs import read_into_book
from cringle.workflows.outings.outing import Door, end_outing, start_outing


@pytest.fixture
def key(folder: Path, examples: Path) -> str:
    """Return the hash of the demo's log, kept in the book with an outing on its day."""
    end_outing(Door(folder))
    start_outing(Door(folder, at="2026-06-17 18:00"))
    return read_into_book([examples / "evening.nmea"], book=folder, who="coach")[0].sha256


def test_without_a_log_it_teaches(here: TestClient, crew: TestClient) -> None:
    assert "No log yet" in here.get("/afloat").text
    text = crew.get("/afloat").text
    assert "Logs are taken in by the coach" in text
    assert "multiple" not in text


def test_a_log_is_listed_and_waits_for_the_guess(crew: TestClient, key: str) -> None:
    assert f"/afloat/log/{key}" in crew.get("/afloat").text
    text = crew.get(f"/afloat/log/{key}").text
    assert "Your guess first" in text
    assert 'id="working"' in text
    assert "Where the time went" not in text


def test_a_log_that_is_not_there_is_an_error_page(here: TestClient) -> None:
    answer = here.get(f"/afloat/log/{'0' * 64}")
    assert answer.status_code == 422
    assert "no such log" in answer.text
    assert here.get("/afloat/log/..%2Fetc").status_code in (404, 422)


def test_racing_shows_no_debrief_and_no_home(here: TestClient, key: str) -> None:
    here.put("/api/racing", json={"racing": True})
    for path in ("/afloat", f"/afloat/log/{key}", "/home"):
        text = here.get(path).text
        assert "RRS 41" in text
        assert "Your guess first" not in text


def test_home_without_an_outing_teaches(here: TestClient, filled: Path) -> None:
    text = here.get("/home").text
    assert "Your guess first" in text
    assert "No goal was set" in text
    assert here.get("/home", params={"outing": "1999-01-01"}).status_code == 422


def test_two_boats_wait_for_their_work(here: TestClient, key: str, folder: Path, examples: Path) -> None:
    data = (examples / "evening.nmea").read_bytes()
    half = folder.parent / "half.nmea"
    half.write_bytes(data[: len(data) // 2])
    other = read_into_book([half], book=folder, who="coach")[0].sha256
    text = here.get("/afloat/pair", params={"first": key, "second": other}).text
    assert "Comparing the two" in text
    assert "Two boats side by side" in here.get("/afloat").text
    assert here.get("/afloat/pair", params={"first": key, "second": key}).status_code == 422
