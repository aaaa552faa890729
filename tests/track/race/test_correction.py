"""One correction: what is accepted, and that it comes back as it was kept."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest

from cringle.errors import InputError
from cringle.track.race.correction import ACTIONS, KINDS, NEEDS_KIND, NEEDS_TO, Correction

AT = datetime(2026, 6, 17, 18, 5, tzinfo=UTC)


@pytest.mark.parametrize(("what", "action"), [(a, b) for a, each in ACTIONS.items() for b in each])
def test_each_is_kept_and_read_back(what: str, action: str) -> None:
    to = AT + timedelta(seconds=40) if action == "move" or (what, action) in NEEDS_TO else None
    kind = KINDS[what][0] if (what, action) in NEEDS_KIND else None
    one = Correction(what, action, AT, to, kind)
    assert Correction.from_json(json.loads(json.dumps(one.to_json()))) == one
    assert one.is_turn == (what in {"tack", "gybe"})


@pytest.mark.parametrize(
    ("given", "match"),
    [
        (("wave", "remove", AT), "correction of 'wave'"),
        (("start", "remove", AT), "'remove' of a start"),
        (("start", "move", AT), "no second time"),
        (("tack", "remove", AT, AT), "a second time"),
        (("tack", "add", AT, None, "windward"), "as 'windward'"),
        (("rounding", "add", AT), "accepted: windward, offset, leeward"),
        (("leg", "add", AT, AT + timedelta(seconds=90), "sideways"), "accepted: up, run, reach"),
        (("start", "move", AT, datetime(2026, 6, 17, 18, 6)), "without a zone"),
    ],
)
def test_what_makes_no_sense_is_refused(given: tuple[object, ...], match: str) -> None:
    with pytest.raises(InputError, match=match):
        Correction(*given)  # type: ignore[arg-type]  # the fault


def test_a_recall_may_name_the_start_that_counted() -> None:
    assert Correction("recall", "add", AT).to is None
    assert Correction("recall", "add", AT, AT + timedelta(minutes=5)).to is not None
