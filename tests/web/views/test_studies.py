"""Studies as a page receives them: waiting, ready, refused."""

from __future__ import annotations

from threading import Event

import pytest
from fastapi import FastAPI

from cringle.settings.records import TonightRequest
from cringle.web.site import Site
from cringle.web.views.studies import studied, wind_of_tonight
from cringle.web.workers import Workers
from cringle.workflows.outings.evening import share_conditions


@pytest.fixture
def site(app: FastAPI) -> Site:
    found: Site = app.state.site
    return found


def test_it_waits_while_it_is_worked_out(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    go = Event()
    monkeypatch.setattr(Workers, "_attend", lambda _self, _work: go.wait(10))
    found = studied(site, "rig", {"sea": "flat"}, ask="/api/rig", words="The rig is being solved")
    assert (found.answer, found.problem) == (None, None)
    assert found.ask == "/api/rig?sea=flat"
    go.set()


@pytest.mark.usefixtures("at_once")
def test_it_is_ready_with_charts_and_drawings(site: Site) -> None:
    headings = {"travel": ("Travel", "load along the travel")}
    found = studied(
        site, "backstay", {"wind_kn": 12.0}, ask="/api/rig/backstay", words="w", headings=headings
    )
    assert found.answer is not None
    assert found.charts["travel"].title == "Travel"
    assert found.drawings["geometry"].startswith("<svg")


@pytest.mark.usefixtures("at_once")
def test_it_says_what_is_wrong(site: Site) -> None:
    found = studied(site, "play", {"play": "nothing"}, ask="/api/plays/nothing", words="w")
    assert found.answer is None
    assert found.problem is not None
    assert found.problem["next_step"]


def test_the_wind_is_the_evenings_at_ten_metres_to_half_a_knot(site: Site) -> None:
    share_conditions(
        site.settings.folder, TonightRequest(wind_kn=8.0, height_m=2.0), who="coach", base_id=None
    )
    found = wind_of_tonight(site)
    assert found > 9.0
    assert (2.0 * found).is_integer()
