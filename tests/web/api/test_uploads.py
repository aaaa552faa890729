"""Files in over the API: streamed, followed, stopped, refused."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from cringle.web import limits
from cringle.workflows.afloat.logs import list_logs


def finished(client: TestClient, told: dict[str, Any]) -> dict[str, Any]:
    """Return the work when it is over."""
    for _ in range(600):
        told = client.get(f"/api/errands/{told['id']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.1)
    pytest.fail(f"never over: {told}")


def test_a_log_is_kept(here: TestClient, folder: Path, examples: Path) -> None:
    data = (examples / "evening.nmea").read_bytes()
    answer = here.post("/api/uploads/log", params={"name": "evening.nmea"}, content=data)
    assert answer.status_code == 202
    told = finished(here, answer.json())
    assert told["state"] == "done"
    assert told["result"]["logs"][0]["name"] == "evening.nmea"
    assert [one.name for one in list_logs(folder)] == ["evening.nmea"]


@pytest.mark.parametrize(
    "data", [b"\x89PNG\r\n\x1a\n" + bytes(5000), b"PK\x03\x04" + bytes(500), b"hello\n" * 9]
)
def test_a_wrong_file_says_what_is_accepted(here: TestClient, data: bytes, folder: Path) -> None:
    told = finished(here, here.post("/api/uploads/log", params={"name": "x.png"}, content=data).json())
    assert told["state"] == "failed"
    assert told["problem"]["message"].startswith("x.png")
    assert told["problem"]["next_step"]
    assert list_logs(folder) == []


def test_an_empty_file_is_refused_at_once(here: TestClient) -> None:
    assert here.post("/api/uploads/log", content=b"").status_code == 422


def test_two_gigabytes_are_refused_before_they_come(here: TestClient) -> None:
    headers = {"content-length": str(2 * 1024**3)}
    answer = here.post("/api/uploads/log", content=b"x", headers=headers)
    assert answer.status_code == 413
    assert "MB" in answer.json()["message"]


def test_a_body_that_lies_about_its_length_is_cut_off(
    here: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(limits.UPLOAD_PATHS, "/api/uploads/log", 100_000)

    def endless() -> Iterator[bytes]:
        for _ in range(50):
            yield bytes(10_000)

    assert here.post("/api/uploads/log", content=endless()).status_code == 413


def test_crew_may_send_notes_but_no_log(crew: TestClient) -> None:
    assert crew.post("/api/uploads/log", content=b"x").status_code == 403
    told = finished(crew, crew.post("/api/uploads/pocket", content=b"{}").json())
    assert told["state"] == "failed"


def test_work_can_be_stopped_and_unknown_work_is_said(here: TestClient, examples: Path) -> None:
    data = (examples / "evening.nmea").read_bytes()
    told = here.post("/api/uploads/log", params={"name": "e.nmea"}, content=data).json()
    assert here.delete(f"/api/errands/{told['id']}").status_code == 200
    assert finished(here, told)["state"] in ("stopped", "done")
    assert here.get("/api/errands/none").status_code == 404
    assert here.post("/api/uploads/picture", content=b"x").status_code == 422
