"""The page Run."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from cringle.workflows.speed.lanes import QUESTIONS

pytestmark = pytest.mark.usefixtures("at_once")


def test_it_shows_windows_a_chart_and_every_question(crew: TestClient) -> None:
    page = crew.get("/run").text
    assert "Technique by wind" in page
    assert "jib furled" in page
    assert 'data-chart="' in page
    assert all(f"question={name}" in page for name in QUESTIONS)
    assert "color-mix(" in page
    assert "<progress" not in page


def test_a_question_shows_its_own_fields_and_its_answer(crew: TestClient) -> None:
    page = crew.get("/run?question=layline&wind_kn=10&right_m=80&ahead_m=600").text
    assert 'name="right_m"' in page
    assert 'name="shift_deg"' not in page
    assert "true wind 10 kn" in page
    assert "nine times in ten between" in page


def test_a_wrong_number_is_said_beside_its_field_and_stays(crew: TestClient) -> None:
    page = crew.get("/run?question=layline&wind_kn=lots").text
    assert 'id="wrong-wind_kn"' in page
    assert 'value="lots"' in page
    assert 'id="lane"' not in page


def test_an_unknown_question_shows_the_first(crew: TestClient) -> None:
    assert 'name="lower_deg"' in crew.get("/run?question=luck").text


def test_nothing_is_advised_while_racing(here: TestClient) -> None:
    here.put("/api/racing", json={"racing": True})
    page = here.get("/run").text
    assert "RRS 41" in page
    assert "data-chart" not in page
    assert "Price it" not in page
