"""The page Crew."""

from __future__ import annotations

import json
import re

import pytest
from starlette.testclient import TestClient

pytestmark = pytest.mark.usefixtures("at_once")


def test_it_shows_people_places_and_the_models_answers(here: TestClient) -> None:
    page = here.get("/crew").text
    assert page.count('class="person"') == 4
    found = re.search(r'id="seats">(.*?)</script>', page)
    assert found is not None
    assert set(json.loads(found[1])["seats"]) == {"ines", "tobias", "marit", "keo"}
    assert "Depower in this order" in page
    assert page.count("data-best=") == 7
    assert "Keep these as the usual places" in page
    assert "C.3.1" in page


def test_the_crew_tries_places_but_keeps_none(crew: TestClient) -> None:
    page = crew.get("/crew?sea=flat").text
    assert "Keep these" not in page
    assert '<input id="kg-' not in page
    assert 'id="seat-keo"' in page


def test_nothing_is_advised_while_racing(here: TestClient) -> None:
    here.put("/api/racing", json={"racing": True})
    page = here.get("/crew").text
    assert "RRS 41" in page
    assert "data-best" not in page
    assert 'id="deck"' not in page
