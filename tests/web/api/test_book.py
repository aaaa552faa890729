from __future__ import annotations

import io
import json
import shutil
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import pytest
from starlette.testclient import TestClient

from cringle.workflows.books.access import load_access, role_of_code
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.outings.outing import show_outing


def pocket_file(text: str = "fast") -> bytes:
    one = {
        "uid": str(uuid4()),
        "at_utc": datetime.now(UTC).isoformat(),
        "by": "Keo",
        "kind": "note",
        "text": text,
    }
    return json.dumps({"format": "cringle-pocket/1", "boat": "Brindle", "entries": [one]}).encode()


def sent(client: TestClient, path: str, data: bytes, name: str = "x.json") -> tuple[int, dict[str, object]]:
    answer = client.post(path, files={"file": (name, data)})
    return answer.status_code, answer.json()


def test_a_book_in_order_is_well(here: TestClient) -> None:
    told = here.get("/api/book/check").json()
    assert told["well"] is True
    assert "All is well" in here.get("/book").text


def test_the_backup_has_the_book_but_no_codes(here: TestClient, codes: dict[str, str]) -> None:
    answer = here.get("/api/book/backup.zip")
    names = zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    assert any(name.endswith("boat.toml") for name in names)
    assert not any("access" in name for name in names)


def test_a_history_goes_over_to_another_copy_once(here: TestClient, folder: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    set_number(folder, SettingChange("vang", 10.0, 5.0, sea="flat"), who="Ines", why="felt slow")
    data = here.get("/api/book/history.jsonl").content
    assert b"felt slow" in data
    status, told = sent(here, "/api/book/import", data)
    assert (status, told["taken"]) == (200, 0)


@pytest.mark.parametrize("path", ["/api/pocket", "/api/book/import"])
def test_a_pocket_file_counts_once(here: TestClient, folder: Path, path: str) -> None:
    data = pocket_file("bow down")
    assert sent(here, path, data)[1]["taken"] == 1
    assert sent(here, path, data)[1]["taken"] == 0
    assert [one.text for one in show_outing(folder).observations] == ["bow down"]


@pytest.mark.parametrize(
    "data", [b"", b"\x00\x01", b"%PDF-1.7", b"{}", b'{"format":"cringle-pocket/1"}', b"{" * 50_000]
)
@pytest.mark.parametrize("path", ["/api/pocket", "/api/book/import"])
def test_a_wrong_file_is_refused(here: TestClient, path: str, data: bytes) -> None:
    status, told = sent(here, path, data, name="../../etc/passwd")
    assert status == 422
    assert told["next_step"]


def test_a_file_that_is_too_long_is_not_read(here: TestClient) -> None:
    status, _ = sent(here, "/api/pocket", b"x" * 3_000_000)
    assert status == 413


def test_the_pocket_page_is_made_for_the_wind(crew: TestClient) -> None:
    answer = crew.get("/api/tonight/pocket.html", params={"wind_kn": 9.5})
    assert answer.status_code == 200
    assert "attachment" in answer.headers["content-disposition"]
    assert "Tonight: 9.5 kn" in answer.text
    assert len(answer.content) < 500_000


def test_the_history_is_there_to_read(crew: TestClient) -> None:
    told = crew.get("/api/history", params={"limit": 5}).json()
    assert told["batches"]
    assert sum(len(one["entries"]) for one in told["batches"]) <= 5
    assert crew.get("/api/history", params={"limit": 0}).status_code == 422


def test_new_codes_are_said_once_and_work(here: TestClient, folder: Path, stranger: TestClient) -> None:
    made = here.post("/api/access/codes", json={"roles": ["crew"]}).json()
    assert role_of_code(load_access(folder), made["crew"]) == "crew"
    assert stranger.post("/api/join", json={"code": made["crew"], "name": "Keo"}).is_success
    assert here.post("/api/access/codes", json={"roles": ["captain"]}).status_code == 422


def test_who_is_put_out_is_out_at_once(
    here: TestClient, crew: TestClient, join: Callable[[str], TestClient]
) -> None:
    coach = join("coach")
    assert crew.get("/api/tonight").status_code == 200
    assert here.post("/api/access/out", json={"roles": ["crew"]}).is_success
    assert crew.get("/api/tonight").status_code == 401
    assert crew.get("/").headers["location"] == "/join"
    assert coach.get("/api/tonight").status_code == 200


def test_the_crew_see_only_their_part_of_the_page(crew: TestClient) -> None:
    text = crew.get("/book").text
    assert "backup.zip" not in text
    assert "data-access" not in text
    assert "/api/pocket" in text
