"""Plays over the API."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.workflows.plays.play import check_play

TAPS = {"call": 1.1, "look": 2.0, "turn_up": 4.2, "let_fly": 4.9, "cross_jib": 7.0}


def test_the_list_the_words_and_the_duties(crew: TestClient) -> None:
    plays = crew.get("/api/plays").json()["plays"]
    assert {"tack", "gybe_kite"} <= {one["id"] for one in plays}
    assert crew.get("/api/plays/tack/words").json()["title"] == "Tack"
    assert crew.get("/api/plays/duties").json()["duties"]


@pytest.mark.usefixtures("at_once")
def test_a_play_is_checked_with_its_risk(crew: TestClient, folder: Path) -> None:
    found = crew.get("/api/plays/tack").json()["result"]["answer"]
    assert found["check"]["makespan_s"] == pytest.approx(check_play(folder, "tack").checked.plan.makespan_s)
    assert 0.0 < found["risk"]["p_done"] <= 1.0


def test_the_crew_keeps_a_run_under_its_name(crew: TestClient, here: TestClient) -> None:
    kept = crew.post("/api/plays/tack/runs", json={"taps_s": TAPS, "note": "slow hands"}).json()
    assert kept["runs"] == 1
    assert kept["progress"][0]["best_s"] == 7.0
    assert kept["timings"]["call"]["runs"] == 1
    assert here.get("/api/plays/tack/runs").json() == kept


@pytest.mark.parametrize(
    "taps", [{}, {"call": -1.0}, {"dance": 3.0}, {"call": 0.1, "look": 0.2}, {"call": 99999.0}]
)
def test_a_run_that_cannot_be_is_not_kept(crew: TestClient, taps: dict[str, float]) -> None:
    assert crew.post("/api/plays/tack/runs", json={"taps_s": taps}).status_code == 422
    assert crew.get("/api/plays/tack/runs").json()["runs"] == 0


@pytest.mark.parametrize("name", ["nothing", "..%2Fcrew", "Tack", "tack.toml", "%2Fetc%2Fpasswd"])
def test_only_plays_are_opened(here: TestClient, name: str) -> None:
    for path in (f"/api/plays/{name}", f"/api/plays/{name}/words", f"/api/plays/{name}/runs"):
        assert here.get(path).status_code in {404, 422}


def test_role_cards_are_printed(crew: TestClient) -> None:
    found = crew.get("/api/plays/cards.pdf")
    assert found.headers["content-type"] == "application/pdf"
    assert found.content.startswith(b"%PDF")


def test_strangers_see_nothing(stranger: TestClient) -> None:
    for path in ("/api/plays", "/api/plays/tack", "/api/plays/duties", "/api/plays/cards.pdf"):
        assert stranger.get(path).status_code == 401
    assert stranger.post("/api/plays/tack/runs", json={"taps_s": TAPS}).status_code in {401, 403}
