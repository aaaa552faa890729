"""Season and Shelf as they are sent: empty, by role, while racing."""

from __future__ import annotations

import shutil
from pathlib import Path

from starlette.testclient import TestClient

from cringle.workflows.afloat.logs import read_into_book


def test_a_season_without_logs_teaches(crew: TestClient) -> None:
    text = crew.get("/season").text
    assert "No log yet" in text
    assert "Nothing is open" in text


def test_actions_can_be_closed_there(here: TestClient, crew: TestClient) -> None:
    asked = {"text": "call the heel aloud", "route": "drill", "owner": "main"}
    made = here.post("/api/home/actions", json=asked).json()
    assert f'data-close="{made["id"]}"' in crew.get("/season").text


def test_with_a_log_it_is_worked_out_but_not_while_racing(
    here: TestClient, folder: Path, examples: Path
) -> None:
    read_into_book([examples / "evening.nmea"], book=folder, who="coach")
    assert 'data-ask="/api/season"' in here.get("/season").text
    here.put("/api/racing", json={"racing": True})
    text = here.get("/season").text
    assert 'data-ask="/api/season"' not in text
    assert "RRS 41" in text


def test_no_drill_and_no_test_is_proposed_while_racing(here: TestClient) -> None:
    advice = ("Drills, by what costs the most", "What the evidence needs", "/api/season/plan.pdf")
    assert all(one in here.get("/season").text for one in advice)
    here.put("/api/racing", json={"racing": True})
    assert not any(one in here.get("/season").text for one in advice)
    assert "Who can do what" in here.get("/season").text


def test_the_shelf_is_the_coachs(here: TestClient, crew: TestClient, folder: Path) -> None:
    assert "This book stands alone" in here.get("/shelf").text
    shutil.copytree(folder, folder.parent / "sorrel")
    text = here.get("/shelf", params={"wind_kn": 10}).text
    assert "Side by side in 10 kn" in text
    assert "sorrel" in text
    assert "sorrel" not in crew.get("/shelf").text
    here.put("/api/racing", json={"racing": True})
    assert "Side by side" not in here.get("/shelf").text
