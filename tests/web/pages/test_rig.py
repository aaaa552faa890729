"""The page Rig."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

pytestmark = pytest.mark.usefixtures("at_once")


def test_it_shows_base_sheet_loads_backstay_and_measuring(here: TestClient) -> None:
    page = here.get("/rig?ask=backstay&wind_kn=12&top_load_n=900").text
    for words in ("Base tune", "Tune sheet", "Loads", "Port against starboard", "Backstay", "Measure a wire"):
        assert words in page
    assert page.count("data-chart=") == 2
    assert '<option value="cap_port">cap port</option>' in page
    assert "qualified rigger" in page
    assert "seen from astern" in page


def test_turns_are_answered_and_can_be_written_by_the_coach(here: TestClient, crew: TestClient) -> None:
    path = "/rig?ask=turns&cap_shrouds=1,5&wind_kn=12"
    page = here.get(path).text
    assert "Sag in 12 kn" in page
    assert "cap_shrouds&#34;: 1.5" in page or '"cap_shrouds": 1.5' in page
    assert 'id="made"' not in crew.get(path).text


def test_what_is_wanted_is_solved(crew: TestClient) -> None:
    page = crew.get("/rig?ask=solve&cap_tension_n=3000&wind_kn=12").text
    assert "nine times in ten" in page
    assert "That gives cap port" in page


def test_a_wrong_number_is_said_beside_its_field_alone(crew: TestClient) -> None:
    page = crew.get("/rig?ask=solve&wind_kn=lots").text
    assert 'id="wrong-solve-wind_kn"' in page
    assert 'id="wrong-turns-wind_kn"' not in page
    assert 'value="lots"' in page


def test_what_the_rig_does_not_stand_is_said(crew: TestClient) -> None:
    page = crew.get("/rig?ask=backstay&wind_kn=12&top_load_n=50000").text
    assert "Try again" in page


def test_nothing_is_advised_while_racing(here: TestClient) -> None:
    here.put("/api/racing", json={"racing": True})
    page = here.get("/rig").text
    assert "RRS 41" in page
    assert "Tune sheet" not in page
