"""Questions are answered once for everybody, and again when what they rest on changes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from trial_days import keep

from cringle.web.beside import begun, kept_result, kept_work
from cringle.web.site import Site, WebSettings
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.outing import Door

ROW = {"sail_set": None, "sea": "chop", "gear": "settled"}


@pytest.fixture
def site(folder: Path) -> Iterator[Site]:
    made = Site.of(WebSettings(folder))
    yield made
    made.workers.close()
    made.served.close()


def test_evidence_is_kept_until_a_trial_says_something_new(site: Site, folder: Path) -> None:
    assert kept_work(site, "evidence", ROW) is None
    work = begun(site, "evidence", ROW, "coach")
    assert begun(site, "evidence", dict(reversed(ROW.items())), "Keo") is work
    assert work.finished.wait(60)
    assert kept_result(site, "evidence", ROW) == work.result
    assert kept_result(site, "evidence", {**ROW, "sea": "flat"}) is None
    set_goal(Door(folder), "tacks under 9 m")
    assert kept_work(site, "evidence", ROW) is work
    keep(folder, 1, 3.0)
    assert kept_work(site, "evidence", ROW) is None
