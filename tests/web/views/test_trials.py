"""What the page Trials receives."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from trial_days import ROLE, keep

from cringle.settings.records import TonightRequest
from cringle.web.beside import begun
from cringle.web.site import Site, WebSettings
from cringle.web.views.trials import RowAsked, evidence_asked, row_asked, trials_view
from cringle.workflows.outings.evening import share_conditions
from cringle.workflows.trials.trial import TrialWish, plan_trial


@pytest.fixture
def site(folder: Path) -> Iterator[Site]:
    made = Site.of(WebSettings(folder))
    yield made
    made.workers.close()
    made.served.close()


def test_the_row_is_tonights_until_another_is_asked_for(site: Site, folder: Path) -> None:
    share_conditions(folder, TonightRequest(wind_kn=13.0, sea="flat"), who="Ines", base_id=None)
    assert row_asked(site, RowAsked()) == {
        "wind_kn": 13.0,
        "sail_set": None,
        "sea": "flat",
        "gear": "settled",
    }
    assert row_asked(site, RowAsked(8.0, sea="chop"))["wind_kn"] == 8.0


def test_trials_evidence_and_roles(site: Site, folder: Path) -> None:
    plan_trial(folder, TrialWish({ROLE: 3.0}, 12.0), who="Ines")
    keep(folder, 2, 3.0)
    view = trials_view(site, RowAsked(12.0, sea="chop"), None)
    assert [one.role for one in view.of_state("planned")] == [ROLE]
    assert view.of_state("going on") == []
    assert (view.evidence, view.tips, view.judged) == (None, None, None)
    assert ROLE in view.scales
    assert not any(name.endswith("_windward") for name in view.scales)
    assert begun(site, "evidence", evidence_asked(view.row), "coach").finished.wait(60)
    again = trials_view(site, RowAsked(12.0, sea="chop"), "unknown work")
    assert again.evidence is not None
    assert again.judged is None
