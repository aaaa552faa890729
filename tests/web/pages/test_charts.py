"""Pictures of charts, their specifications and scripts."""

from __future__ import annotations

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from cringle.web.charts import Charts

DRAWN = b'<svg><path stroke="var(--ink)"/></svg>'


@pytest.fixture
def chart(app: FastAPI, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return the id of a chart of a page."""
    monkeypatch.setattr(Charts, "_made", lambda _self, _arguments, _sent: DRAWN)
    return str(app.state.site.charts.add({"mark": "point"}, "Targets", "by wind").id)


def test_a_picture_takes_the_colours_of_the_page(here: TestClient, chart: str) -> None:
    found = here.get(f"/chart/{chart}.svg")
    assert found.headers["content-type"] == "image/svg+xml"
    assert "immutable" in found.headers["cache-control"]
    assert found.content == DRAWN
    assert b"var(" not in here.get(f"/chart/{chart}.svg?alone=true").content


def test_the_specification_is_there_for_the_scripts(crew: TestClient, chart: str) -> None:
    assert crew.get(f"/chart/{chart}.json?wide=true").json()["mark"] == "point"


def test_who_has_not_joined_sees_none(stranger: TestClient, chart: str) -> None:
    for path in (f"/chart/{chart}.svg", f"/chart/{chart}.json", "/chart/scripts.js"):
        assert stranger.get(path).status_code == 303


def test_a_chart_that_no_page_has_is_not_found(here: TestClient) -> None:
    assert here.get(f"/chart/{'0' * 32}.svg").status_code == 404
    assert here.get("/chart/..%2Fbook.svg").status_code in {404, 422}


def test_the_scripts_come_packed_from_our_own_origin(here: TestClient, chart: str) -> None:
    found = here.get("/chart/scripts.js", headers={"accept-encoding": "gzip"})
    assert found.headers["content-type"].startswith("text/javascript")
    assert found.content == DRAWN
    assert here.get("/chart/scripts.js", headers={"accept-encoding": "identity"}).status_code == 422
