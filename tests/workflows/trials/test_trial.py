"""Trials are planned one control at a time, and the settings in force follow them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from trial_days import ROLE, at, keep, sailed, wish

from cringle.errors import InputError, OutOfRangeError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.outing import start_outing
from cringle.workflows.trials.as_json import planned_json
from cringle.workflows.trials.trial import (
    TrialWish,
    change_trial,
    known_noise,
    list_trials,
    plan_trial,
    start_trial,
)


class TestPlan:
    def test_a_plan_is_kept_and_shown_tonight(self, trial_folder: Path) -> None:
        found = plan_trial(trial_folder, wish(), who="Ines")
        assert found.trial.id == "t1"
        assert (found.trial.start, found.trial.to) == (2.5, 3.0)
        assert found.plan.power >= 0.8
        assert tonight(trial_folder, TonightRequest(wind_kn=11.0)).trial == found.trial.text
        assert json.dumps(planned_json(found))

    def test_a_dry_run_keeps_nothing(self, trial_folder: Path) -> None:
        plan_trial(trial_folder, wish(), who="Ines", keep=False)
        assert list_trials(trial_folder) == []

    def test_two_controls_are_refused(self, trial_folder: Path) -> None:
        both = TrialWish({ROLE: 3.0, "vang": 2.0}, 11.0)
        with pytest.raises(InputError, match="2 controls at once"):
            plan_trial(trial_folder, both, who="Ines")

    def test_the_two_sides_of_one_circuit_may_go_together(self, trial_folder: Path) -> None:
        both = TrialWish({ROLE: 3.0, "jib_sheet_windward": 11.0}, 11.0)
        assert plan_trial(trial_folder, both, who="Ines").trial.role == ROLE

    def test_one_step_no_more_no_less(self, trial_folder: Path) -> None:
        with pytest.raises(OutOfRangeError, match="one step from the table"):
            plan_trial(trial_folder, wish(4.0), who="Ines")
        with pytest.raises(InputError, match="nothing is changed"):
            plan_trial(trial_folder, wish(2.5), who="Ines")

    def test_both_boats_a_step_from_the_table_one_either_side(self, trial_folder: Path) -> None:
        found = plan_trial(trial_folder, wish(3.0, against=2.0), who="Ines").trial
        assert (found.start, found.to, found.table) == (2.0, 3.0, 2.5)
        assert "2 → 3 either side of 2½ beside Sorrel" in found.text
        assert list_trials(trial_folder)[0].table == 2.5

    @pytest.mark.parametrize("against", [1.5, 4.0])
    def test_the_other_boat_keeps_within_a_step_too(self, trial_folder: Path, against: float) -> None:
        with pytest.raises(OutOfRangeError, match="of the other boat"):
            plan_trial(trial_folder, wish(3.0, against=against), who="Ines")
        with pytest.raises(InputError, match="nothing is changed"):
            plan_trial(trial_folder, wish(3.0, against=3.0), who="Ines")

    def test_what_the_class_forbids_afloat_is_refused(self, trial_folder: Path) -> None:
        with pytest.raises(RuleError, match="ashore"):
            plan_trial(trial_folder, TrialWish({"forestay": 0.5}, 11.0), who="Ines")

    def test_seconds_a_mile_need_a_speed(self, trial_folder: Path) -> None:
        with pytest.raises(InputError, match="speed made good"):
            plan_trial(trial_folder, wish(matters_s_per_mile=9.0), who="Ines")
        found = plan_trial(trial_folder, wish(matters_s_per_mile=9.0, vmg_kn=4.0), who="Ines")
        assert found.trial.matters_m_per_min == pytest.approx(1.247, abs=1e-3)

    def test_past_pairs_make_the_noise(self, trial_folder: Path) -> None:
        keep(trial_folder, 6, 1.0, noise_sd=1.0, forgetting_s=20.0)
        with open_records(trial_folder) as records:
            assert known_noise(records).sd_m_per_min < 2.6
            assert known_noise(records).pairs == 6


class TestAfloat:
    def test_the_settings_in_force_follow(self, trial_folder: Path) -> None:
        sailed(trial_folder)
        trial = list_trials(trial_folder)[0]
        assert trial.state == "stopped"
        assert [one.who for one in trial.carried] == ["us", "them"]

    def test_one_trial_at_a_time(self, trial_folder: Path) -> None:
        for _ in range(2):
            plan_trial(trial_folder, wish(), who="Ines")
        start_outing(at(trial_folder, "17:30"))
        start_trial(at(trial_folder, "18:00"), "t1")
        with pytest.raises(InputError, match="t1 still goes on"):
            start_trial(at(trial_folder, "18:05"), "t2")
        with pytest.raises(InputError, match="before the last change"):
            change_trial(at(trial_folder, "17:59"))

    def test_nothing_planned(self, trial_folder: Path) -> None:
        with pytest.raises(InputError, match="no trial that is planned"):
            start_trial(at(trial_folder, "18:00"))
