"""The table moves only on evidence and comes back on undo."""

from __future__ import annotations

from pathlib import Path

import pytest
from trial_days import ROLE, keep

from cringle.book.entries import number_payload
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.trials.accept import Place, decide, proposals, stage_proposals, undo
from cringle.workflows.trials.evidence import (
    show_evidence,
)


class TestAccept:
    def test_accepting_moves_the_table_and_undo_brings_it_back(self, trial_folder: Path) -> None:
        keep(trial_folder, 4, 3.0)
        with open_records(trial_folder) as records:
            key = {"sail_set": "main+jib", "sea": "chop", "wind_kn": 12.0, "gear": "settled", "role": ROLE}
            before = Source(records.book.one("setting", "table", **key).payload["source"])  # type: ignore
        done = decide(trial_folder, Place(ROLE, 12.0), who="Ines")
        assert done.decided == "accepted"
        numbers = tonight(trial_folder, TonightRequest(wind_kn=12.0)).numbers
        now = next(one for one in numbers.numbers if one.role == ROLE and one.gear == "settled")
        assert (now.value, now.number.source, now.observations) == (3.0, Source.TRIAL, 4)
        undo(trial_folder, Place(ROLE, 12.0), who="Ines")
        again = tonight(trial_folder, TonightRequest(wind_kn=12.0)).numbers
        then = next(one for one in again.numbers if one.role == ROLE and one.gear == "settled")
        assert (then.value, then.number.source) == (2.5, before)
        with pytest.raises(InputError, match="no accepted change"):
            undo(trial_folder, Place(ROLE, 12.0), who="Ines")

    def test_declining_leaves_the_table_and_is_kept(self, trial_folder: Path) -> None:
        keep(trial_folder, 4, 3.0)
        assert (
            decide(trial_folder, Place(ROLE, 12.0), who="Ines", why="new jib soon", accept=False).decided
            == "declined"
        )
        with open_records(trial_folder) as records:
            kept = records.book.current("trial_decision")
        assert (kept[0].payload["decided"], kept[0].payload["why"]) == ("declined", "new jib soon")
        assert any(one.wind_kn == 12.0 for one in proposals(show_evidence(trial_folder)))

    def test_nothing_to_accept(self, trial_folder: Path) -> None:
        with pytest.raises(InputError, match="asks for no change"):
            decide(trial_folder, Place(ROLE, 12.0), who="Ines")

    def test_settled_numbers_propose_the_next_stage(self, trial_folder: Path) -> None:
        for wind_kn, table in ((10.0, 3.0), (12.0, 2.5), (14.0, 3.0)):
            for side in (0.5, -0.5):
                keep(
                    trial_folder,
                    6,
                    -2.0,
                    wind_kn=wind_kn,
                    tried=table + side,
                    reference=table,
                    standard_error=0.15,
                )
        found = show_evidence(trial_folder)
        assert {one.state for one in found.roles[0].findings if one.cell.wind_kn in (10.0, 12.0, 14.0)} == {
            "settled"
        }
        assert stage_proposals(found) == [ROLE]


def test_a_number_payload_of_a_trial_says_trial() -> None:
    assert number_payload(Number(3.0, "mark", Source.TRIAL))["source"] == "trial"
