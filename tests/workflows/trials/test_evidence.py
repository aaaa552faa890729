"""Evidence over the table, and what to try next."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from trial_days import ROLE, at, keep

from cringle.errors import InputError
from cringle.trials.power import Noise, plan_minutes
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.notes import WindSaid, note_wind
from cringle.workflows.outings.outing import start_outing
from cringle.workflows.trials.accept import Place, decide, proposals
from cringle.workflows.trials.as_json import evidence_json, tips_json
from cringle.workflows.trials.evidence import (
    Row,
    anchor_table,
    season_winds,
    show_evidence,
    suggest_trials,
    usual_error,
    write_evidence_picture,
)
from cringle.workflows.trials.records import outcomes


class TestEvidence:
    def test_nothing_yet(self, trial_folder: Path, tmp_path: Path) -> None:
        found = show_evidence(trial_folder)
        assert (found.roles, found.unused) == ((), ())
        write_evidence_picture(found, tmp_path / "none.svg")
        assert "No trial counts" in (tmp_path / "none.svg").read_text(encoding="utf-8")

    def test_trials_propose_a_move_with_their_names(self, trial_folder: Path, tmp_path: Path) -> None:
        keep(trial_folder, 4, 3.0)
        found = show_evidence(trial_folder)
        asked = [one for one in proposals(found) if one.wind_kn == 12.0]
        assert [(one.before, one.observations) for one in asked] == [(2.5, 4)]
        assert asked[0].after in (2.75, 3.0)
        assert "t1 of 2026-05-01" in asked[0].because
        assert json.dumps(evidence_json(found), allow_nan=False)
        write_evidence_picture(found, tmp_path / "evidence.svg")
        assert "move" in (tmp_path / "evidence.svg").read_text(encoding="utf-8")

    def test_a_control_deleted_since_says_so(self, trial_folder: Path) -> None:
        keep(trial_folder, 2, 3.0, role="barber_hauler")
        found = show_evidence(trial_folder)
        assert found.roles == ()
        assert "no longer has this control" in (found.unused[0].why_not or "")

    def test_unknown_role(self, trial_folder: Path) -> None:
        with pytest.raises(InputError, match="did you mean"):
            show_evidence(trial_folder, role="jib_sheet_leward")

    def test_numbers_of_trials_are_no_anchor(self, trial_folder: Path) -> None:
        keep(trial_folder, 4, 3.0)
        decide(trial_folder, Place(ROLE, 12.0), who="Ines")
        with open_records(trial_folder) as records:
            column = anchor_table(records).column("main+jib", "chop", "settled", ROLE)
        assert {cell.wind_kn: cell.number.value for cell in column}[12.0] == 2.5


class TestSuggest:
    def test_three_one_step_each_and_never_ashore(self, trial_folder: Path) -> None:
        found = suggest_trials(trial_folder, 11.0)
        assert len(found.tips) == 3
        assert "forestay" in found.left_out
        assert all(abs(one.to - one.start) in (0.5, 1.0) for one in found.tips)
        keys = {"role", "from", "to", "reason", "expected_gain_m_per_min", "sd_m_per_min"}
        assert all(keys <= set(one) for one in tips_json(found))

    def test_the_winds_of_the_season_come_from_the_outings(self, trial_folder: Path) -> None:
        start_outing(at(trial_folder, "17:30"))
        for minute in range(6):
            note_wind(at(trial_folder, f"17:4{minute}"), WindSaid(12.2))
        from cringle.workflows.trials.evidence import _known

        with open_records(trial_folder) as records:
            winds = dict(season_winds(_known(records, Row())))
        assert sum(winds.values()) == pytest.approx(1.0)
        assert winds[12.0] == max(winds.values())

    @pytest.mark.parametrize("wind_kn", [0.0, 200.0, float("nan")])
    def test_a_wind_that_cannot_be(self, trial_folder: Path, wind_kn: float) -> None:
        with pytest.raises(InputError):
            suggest_trials(trial_folder, wind_kn)

    def test_the_books_own_trials_tell_how_exact_the_next_will_be(self, trial_folder: Path) -> None:
        noise = Noise()
        planned = usual_error((), noise)
        assert planned == pytest.approx(noise.mean_variance(plan_minutes(2.0, noise).minutes) ** 0.5)
        keep(trial_folder, 3, 3.0)
        with open_records(trial_folder) as records:
            kept = outcomes(records)
        loud = [replace(one, standard_error=error) for one, error in zip(kept, (1.0, 9.0, 2.5), strict=True)]
        assert usual_error(loud, noise) == 2.5
        assert usual_error(loud[:2], noise) == planned
        assert usual_error([replace(one, used=False) for one in loud], noise) == planned

    def test_an_empty_table_says_what_to_do(self, book_folder: Path) -> None:
        with pytest.raises(InputError, match="no settled rows"):
            suggest_trials(book_folder, 11.0)

    def test_numbers_keep_within_a_step_of_the_table_and_say_the_other_boat(self, trial_folder: Path) -> None:
        found = suggest_trials(trial_folder, 11.0)
        for tip, told in zip(found.tips, tips_json(found), strict=True):
            assert told["against"] == tip.against != tip.to
            step = abs(tip.to - tip.start)
            assert step > 0.0
            assert abs(tip.against - tip.start) in (0.0, pytest.approx(step))
