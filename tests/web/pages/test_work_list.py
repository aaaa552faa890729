from __future__ import annotations

from pathlib import Path

from markupsafe import escape
from starlette.testclient import TestClient

from cringle.workflows.survey import survey_shown


def test_every_finding_is_on_the_page(here: TestClient, folder: Path) -> None:
    text = here.get("/work-list").text
    shown = survey_shown(folder)
    assert shown.work.ranked
    for one in (*shown.work.ranked, *shown.work.forbidden):
        assert str(escape(one.item.what)) in text


def test_the_crew_may_read_it_and_a_stranger_may_not(crew: TestClient, stranger: TestClient) -> None:
    assert crew.get("/work-list").status_code == 200
    assert stranger.get("/work-list").status_code == 303
