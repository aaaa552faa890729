"""Season and shelf over the API."""

from __future__ import annotations

import shutil
import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from cringle.workflows.afloat.logs import read_into_book


def over(client: TestClient, told: dict[str, Any]) -> dict[str, Any]:
    for _ in range(900):
        told = client.get(f"/api/errands/{told['id']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.1)
    pytest.fail(f"never over: {told}")


@pytest.fixture
def beside(folder: Path) -> Path:
    """Return a second book beside the served one, and a class file that they share."""
    other = folder.parent / "sorrel"
    shutil.copytree(folder, other)
    shared = folder.parent / "class.toml"
    shared.write_text("# for all\n" + (folder / "class.toml").read_text(encoding="utf-8"), encoding="utf-8")
    return other


def test_the_plan_and_its_paper(crew: TestClient) -> None:
    assert crew.get("/api/season/plan").json()["boat"] == "Brindle"
    assert crew.get("/api/season/plan.pdf").content.startswith(b"%PDF")


def test_no_plan_while_racing(here: TestClient) -> None:
    here.put("/api/racing", json={"racing": True})
    for path in ("/api/season/plan", "/api/season/plan.pdf"):
        assert here.get(path).status_code == 423
    here.put("/api/racing", json={"racing": False})
    assert here.get("/api/season/plan").is_success


def test_the_logs_together(crew: TestClient, folder: Path, examples: Path) -> None:
    read_into_book([examples / "evening.nmea"], book=folder, who="coach")
    told = over(crew, crew.get("/api/season").json())
    assert told["state"] == "done", told
    assert told["result"]["season"]["files"] == 1
    assert "evening.nmea" in told["result"]["body"]
    assert "<h1>" not in told["result"]["body"]


def test_without_a_log_it_says_so(crew: TestClient) -> None:
    told = over(crew, crew.get("/api/season").json())
    assert told["state"] == "failed"
    assert told["problem"]["next_step"]


def test_boats_side_by_side_are_the_coachs(here: TestClient, crew: TestClient, beside: Path) -> None:
    assert {one["name"] for one in here.get("/api/shelf").json()["books"]} == {"book", beside.name}
    found = here.get("/api/shelf/compare", params={"wind_kn": 10}).json()
    assert found["roles"][0]["mark"].keys() == {"book", beside.name}
    for path in ("/api/shelf", "/api/shelf/compare"):
        assert crew.get(path).status_code == 403
    unknown = here.get("/api/shelf/compare", params={"books": ["../etc", "book"]})
    assert unknown.status_code == 422


def test_a_shared_file_is_shown_before_it_is_taken_over(here: TestClient, beside: Path) -> None:
    asked = {"what": "class", "books": [beside.name]}
    shown = here.post("/api/shelf/share", json=asked).json()["shares"]
    assert (shown[0]["taken"], "+# for all" in shown[0]["lines"]) == (False, True)
    assert not (beside / "class.toml").read_text(encoding="utf-8").startswith("# for all")
    taken = here.post("/api/shelf/share", json={**asked, "take": True}).json()["shares"]
    assert taken[0]["taken"] is True
    assert (beside / "class.toml").read_text(encoding="utf-8").startswith("# for all")
    assert here.post("/api/shelf/share", json={"what": "../../etc/passwd"}).status_code == 422


def test_nothing_is_told_while_racing(here: TestClient, beside: Path) -> None:
    here.put("/api/racing", json={"racing": True})
    for path in ("/api/season", "/api/shelf/compare", "/api/visit", "/api/visit/report.pdf"):
        assert here.get(path).status_code == 423
