"""What Afloat and Home receive."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.web.beside import begun, kept_work
from cringle.web.site import Site, WebSettings
from cringle.web.views.afloat import (
    HOME_LIVE,
    afloat_view,
    debrief_asked,
    home_asked,
    home_view,
    log_named,
    log_view,
    pair_names,
)
from cringle.workflows.afloat.logs import KeptLog, read_into_book
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.outing import Door


@pytest.fixture
def site(folder: Path) -> Iterator[Site]:
    made = Site.of(WebSettings(folder))
    yield made
    made.workers.close()
    made.served.close()


@pytest.fixture
def log(folder: Path, examples: Path) -> KeptLog:
    return read_into_book([examples / "evening.nmea"], book=folder, who="coach")[0]


def test_logs_have_the_boats_clock(site: Site, log: KeptLog) -> None:
    view = afloat_view(site)
    assert [one.words for one in view.logs] == ["17 June 2026, 18:30 to 19:06"]
    assert view.logs[0].zone == "Europe/London"
    assert len(view.without_log) == 1
    assert not view.racing


def test_a_debrief_is_kept_until_the_evidence_changes(site: Site, log: KeptLog, folder: Path) -> None:
    asked = debrief_asked(log, "model")
    assert kept_work(site, "debrief", asked) is None
    assert log_view(site, log.sha256, "model").found is None
    work = begun(site, "debrief", asked, "coach")
    assert begun(site, "debrief", asked, "Keo") is work
    assert work.finished.wait(90)
    view = log_view(site, log.sha256, "model")
    assert view.found is work.result
    assert view.guess is None
    assert not view.is_gated
    first = view.manoeuvres[0]
    assert (first["number"], first["kind"], first["clock"]) == (1, "tack", "18:35:21")
    set_goal(Door(folder), "tacks under 9 m")
    assert kept_work(site, "debrief", asked) is work
    (folder / "crew.toml").touch()
    assert kept_work(site, "debrief", asked) is None


def test_home_makes_some_sections_itself(site: Site, folder: Path) -> None:
    set_goal(Door(folder), "tacks under 9 m")
    view = home_view(site, None, "model")
    assert view.is_gated
    assert view.outing is not None
    assert [(number, goal.text) for number, goal, _ in view.goals] == [(1, "tacks under 9 m")]
    work = begun(site, "home", home_asked(view.outing.id, "model"), "coach")
    assert work.finished.wait(90)
    again = home_view(site, None, "model")
    assert not again.is_gated
    assert again.sections
    assert not {one["title"] for one in again.sections} & set(HOME_LIVE)
    assert again.goals[0][2]


def test_what_is_not_there_is_refused(site: Site, log: KeptLog, folder: Path) -> None:
    with pytest.raises(InputError, match="no such log"):
        log_named(site, "0" * 64)
    with pytest.raises(InputError, match="two different"):
        pair_names(folder, log.sha256, "0" * 64)
