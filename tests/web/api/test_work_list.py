from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from starlette.testclient import TestClient

from cringle.workflows.survey import survey_json, survey_shown


def test_the_list_is_the_one_of_the_book(crew: TestClient, folder: Path) -> None:
    told = crew.get("/api/work-list").json()
    assert told == survey_json(survey_shown(folder))
    assert told["items"]


def test_an_item_is_done_and_opened_again(here: TestClient) -> None:
    first = here.get("/api/work-list").json()["items"][0]["id"]
    for state in ("done", "open", "dropped"):
        told = here.put("/api/work-list", json={"item": first, "state": state}).json()
        assert next(one["state"] for one in told["items"] if one["id"] == first) == state
    assert "Behind us" in here.get("/work-list").text


@pytest.mark.parametrize("said", [{"item": "no such", "state": "done"}, {"item": "x", "state": "lost"}, {}])
def test_what_does_not_exist_is_refused(here: TestClient, said: dict[str, str]) -> None:
    assert here.put("/api/work-list", json=said).status_code == 422


def test_the_crew_see_no_buttons(crew: TestClient, here: TestClient) -> None:
    assert "data-state" in here.get("/work-list").text
    assert "data-state" not in crew.get("/work-list").text


def test_it_prints(crew: TestClient) -> None:
    document = pypdfium2.PdfDocument(crew.get("/api/work-list/print.pdf").content)
    assert len(document) >= 1
    document.close()
