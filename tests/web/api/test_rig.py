"""The rig over the API."""

from __future__ import annotations

import math
import struct
import time
import wave
from pathlib import Path

import pytest
from starlette.testclient import TestClient


@pytest.mark.usefixtures("at_once")
def test_turns_solve_backstay_and_sheet_answer_as_the_commands_do(crew: TestClient) -> None:
    turns = crew.get("/api/rig/turns?cap_shrouds=1&wind_kn=12").json()["result"]["answer"]
    assert turns["turns"]["cap_port"] == 1.0
    wanted = crew.get("/api/rig/solve?cap_tension_n=3000").json()["result"]["answer"]
    assert wanted["targets"][0]["wanted"] == 3000.0
    hauled = crew.get("/api/rig/backstay?wind_kn=12&top_load_n=900").json()["result"]["answer"]
    assert hauled["half_travel_advice"]["top_load_n"] == 900.0
    refused = crew.get("/api/rig/solve").json()
    assert refused["state"] == "failed"
    assert refused["problem"]["next_step"]


def test_the_sheet_is_printed(crew: TestClient) -> None:
    assert crew.get("/api/rig/sheet.pdf").content.startswith(b"%PDF")


def test_turns_are_written_by_the_coach_and_brought_back(here: TestClient, crew: TestClient) -> None:
    made = here.put("/api/rig/turns", json={"turns": {"cap_shrouds": 1.5}, "why": "breeze"}).json()
    assert made["turns"] == {"cap_port": 1.5, "cap_starboard": 1.5}
    back = here.put("/api/rig/turns", json={"turns": made["before"]}).json()
    assert back["turns"] == made["before"]
    assert here.put("/api/rig/turns", json={"turns": {"cap_shrouds": 15.0}}).status_code == 422
    assert crew.put("/api/rig/turns", json={"turns": {"cap_shrouds": 1.0}}).status_code == 403


def test_the_crew_says_that_screws_are_locked(crew: TestClient) -> None:
    assert "cap_port" in crew.put("/api/rig/locks", json={"screws": ["all"]}).json()["screws"]
    assert crew.put("/api/rig/locks", json={"screws": ["nothing"]}).status_code == 422


def test_a_wire_is_measured_by_swings_gauge_and_reading(here: TestClient, crew: TestClient) -> None:
    swing = crew.post("/api/rig/measure", json={"wire": "forestay", "cycles": 30, "seconds": 4.1}).json()
    assert swing["tension_n_low"] < swing["tension_n"] < swing["tension_n_high"]
    gauge = {"wire": "cap_port", "span_mm": 300, "deflection_mm": 5, "force_n": 170}
    assert crew.post("/api/rig/measure", json=gauge).json()["method"]
    kept = {"wire": "cap_port", "tension_n": 2600, "keep": True}
    assert crew.post("/api/rig/measure", json=kept).status_code == 403
    assert here.post("/api/rig/measure", json=kept).json()["kept"] is True


@pytest.mark.parametrize(
    "body",
    [
        {"wire": "forestay"},
        {"wire": "forestay", "cycles": 30},
        {"wire": "forestay", "tension_n": 900, "cycles": 30, "seconds": 4},
        {"wire": "anchor", "tension_n": 900},
        {"wire": "forestay", "cycles": 0, "seconds": 4},
    ],
)
def test_a_measurement_that_is_none_is_refused(crew: TestClient, body: dict[str, object]) -> None:
    answer = crew.post("/api/rig/measure", json=body)
    assert answer.status_code == 422
    assert answer.json()["message"]


def recording(path: Path, hertz: float) -> Path:
    """Write the sound of a plucked wire: a decaying tone with two overtones."""
    rate = 8000
    samples = []
    for place in range(6 * rate):
        at = place / rate
        tone = sum(math.sin(2 * math.pi * hertz * one * at) / one for one in (1, 2, 3))
        samples.append(int(9000 * math.exp(-0.4 * at) * tone))
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(struct.pack(f"<{len(samples)}h", *samples))
    return path


def test_a_recording_is_read_beside_the_server(here: TestClient, tmp_path: Path) -> None:
    swing = here.post("/api/rig/measure", json={"wire": "forestay", "cycles": 60, "seconds": 5.0}).json()
    body = recording(tmp_path / "stay.wav", 12.0).read_bytes()
    sent = here.post("/api/uploads/recording?name=stay.wav&wire=forestay&wide=true", content=body).json()
    until = time.monotonic() + 60.0
    seen = sent
    while seen["state"] in {"waiting", "running"} and time.monotonic() < until:
        time.sleep(0.1)
        seen = here.get(f"/api/errands/{sent['id']}").json()
    assert seen["state"] == "done", seen["problem"]
    assert seen["result"]["tension_n"] == pytest.approx(swing["tension_n"], rel=0.02)
    assert seen["result"]["kept"] is False


def test_no_advice_while_racing_and_none_for_strangers(here: TestClient, stranger: TestClient) -> None:
    paths = (
        "/api/rig",
        "/api/rig/turns",
        "/api/rig/solve?sag_mm=90",
        "/api/rig/backstay",
        "/api/rig/sheet.pdf",
    )
    for path in paths:
        assert stranger.get(path).status_code == 401
    here.put("/api/racing", json={"racing": True})
    for path in paths:
        assert here.get(path).status_code == 423
