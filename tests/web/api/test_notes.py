from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.workflows.outings.outing import show_outing


def test_a_note_is_kept_under_the_name_of_who_writes(crew: TestClient, folder: Path) -> None:
    answer = crew.post("/api/notes", json={"text": "fast & <low>", "tag": "speed"})
    assert answer.status_code == 200
    kept = show_outing(folder).observations[-1]
    assert (kept.text, kept.by, kept.tag) == ("fast & <low>", "Keo", "speed")


def test_settings_in_force_leave_the_table_alone(crew: TestClient, folder: Path) -> None:
    before = crew.get("/api/tonight").json()
    assert crew.post("/api/settings-in-force", json={"values": {"vang": 3.5, "backstay": 5}}).is_success
    assert crew.get("/api/tonight").json() == before
    assert {one.role: one.value for one in show_outing(folder).settings} == {"vang": 3.5, "backstay": 5.0}


@pytest.mark.parametrize("values", [{}, {"no_such": 1}, {"vang": 1e9}, {"vang": "x"}])
def test_a_wrong_setting_is_refused_whole(crew: TestClient, folder: Path, values: dict[str, object]) -> None:
    assert crew.post("/api/settings-in-force", json={"values": values}).status_code == 422
    assert show_outing(folder).settings == ()


def test_ticks_of_the_check(crew: TestClient) -> None:
    line = crew.get("/").text.split('id="check"')[1].split('value="')[1].split('"')[0]
    told = crew.post("/api/departure", json={"ticked": [line]}).json()
    assert [one["by"] for one in told["checks"] if one["ticked"]] == ["Keo"]
    assert "checked disabled" in crew.get("/").text
    assert crew.post("/api/departure", json={"ticked": ["no such"]}).status_code == 422
