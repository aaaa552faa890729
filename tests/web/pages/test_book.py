from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from cringle.web.pages.book import MOST_SHOWN
from cringle.workflows.numbers.settings import SettingChange, set_number


def test_the_coach_sees_the_check_of_the_book_and_the_crew_does_not(
    here: TestClient, crew: TestClient
) -> None:
    for words in ("All is well", "/api/book/backup.zip"):
        assert words in here.get("/book").text
        assert words not in crew.get("/book").text


def test_the_newest_change_stands_first_and_not_too_many(here: TestClient, folder: Path) -> None:
    for place in range(MOST_SHOWN + 1):
        set_number(
            folder, SettingChange("vang", 10.0, 4.0 + 0.5 * (place % 2)), who="Marit", why=f"try {place}"
        )
    text = here.get("/book").text
    assert f"try {MOST_SHOWN}" in text
    assert "try 0" not in text
    assert text.index(f"try {MOST_SHOWN}") < text.index("try 20")


def test_a_stranger_is_sent_to_the_door(stranger: TestClient) -> None:
    answer = stranger.get("/book")
    assert (answer.status_code, answer.headers["location"]) == (303, "/join")
