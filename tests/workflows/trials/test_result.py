"""Two logs become a verdict, and what cannot be used is kept and says so."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from trial_days import ROLE, at, sailed, wish

from cringle.errors import InputError
from cringle.workflows.book_open import open_records
from cringle.workflows.outings.notes import WindSaid, note_wind
from cringle.workflows.outings.outing import start_outing
from cringle.workflows.trials.as_json import result_json
from cringle.workflows.trials.records import outcomes
from cringle.workflows.trials.result import ResultWish, judge_trial, write_gain_picture
from cringle.workflows.trials.trial import (
    change_trial,
    plan_trial,
    start_trial,
)

Write = Callable[..., Path]


class TestResult:
    def test_a_pair_from_two_logs(self, trial_folder: Path, trial_logs: Write, tmp_path: Path) -> None:
        sailed(trial_folder)
        ours = trial_logs("ours", seed=1, fast=(0, 1350, 4.0))
        other = trial_logs("other", seed=2, east=70.0, fast=(1350, 2700, 4.0))
        found = judge_trial(trial_folder, ResultWish(ours=ours, other=other), who="Ines")
        assert found.pair is not None
        assert found.pair.gain.value == pytest.approx(4.0, abs=1.5)
        assert found.outcome.used
        assert found.outcome.swapped
        assert found.outcome.settings == {ROLE: 3.0}
        assert found.outcome.deviations[ROLE] == pytest.approx(1.0, abs=0.6)
        assert found.outcome.wind_kn == 11.0
        data = json.loads(json.dumps(result_json(found), allow_nan=False))
        keys = {"gain_m_per_min", "height_m_per_min", "speed_m_per_min"}
        assert keys | {f"{key}_low" for key in keys} | {f"{key}_high" for key in keys} <= set(data)
        assert {"effective_minutes", "verdict", "minutes_still_needed"} <= set(data)
        write_gain_picture(found, tmp_path / "gain.svg")
        assert "m a minute" in (tmp_path / "gain.svg").read_text(encoding="utf-8")

    def test_judging_again_replaces_the_result(self, trial_folder: Path, trial_logs: Write) -> None:
        sailed(trial_folder)
        ours, other = trial_logs("ours", seed=1), trial_logs("other", seed=2, east=70.0)
        for _ in range(2):
            judge_trial(trial_folder, ResultWish(ours=ours, other=other), who="Ines")
        with open_records(trial_folder) as records:
            assert len(outcomes(records)) == 1

    def test_a_note_is_kept_and_not_used(self, trial_folder: Path) -> None:
        sailed(trial_folder)
        found = judge_trial(trial_folder, ResultWish(note="felt slow"), who="Ines")
        assert (found.outcome.used, found.outcome.kind) == (False, "note")
        assert "no metres" in (found.outcome.why_not or "")
        assert result_json(found)["gain_m_per_min"] is None

    def test_without_wind_it_is_kept_and_not_used(self, trial_folder: Path, trial_logs: Write) -> None:
        sailed(trial_folder, wind=False)
        asked = ResultWish(
            ours=trial_logs("ours", seed=1), other=trial_logs("other", seed=2, east=70.0), wind_from_deg=0.0
        )
        found = judge_trial(trial_folder, asked, who="Ines")
        assert not found.outcome.used
        assert "no wind was noted" in (found.outcome.why_not or "")

    def test_clocks_an_hour_apart(self, trial_folder: Path, trial_logs: Write) -> None:
        sailed(trial_folder)
        asked = ResultWish(
            ours=trial_logs("ours", seed=1), other=trial_logs("other", seed=2, east=70.0, late_s=3600)
        )
        with pytest.raises(InputError, match="--shift -3600"):
            judge_trial(trial_folder, asked, who="Ines")

    def test_the_log_of_another_day(self, trial_folder: Path, trial_logs: Write) -> None:
        sailed(trial_folder)
        late = 86_400
        asked = ResultWish(
            ours=trial_logs("ours", seed=1, late_s=late),
            other=trial_logs("other", seed=2, east=70.0, late_s=late),
        )
        with pytest.raises(InputError, match="do not cover the trial"):
            judge_trial(trial_folder, asked, who="Ines")

    @pytest.mark.parametrize("asked", [ResultWish(), ResultWish(ours=Path("nowhere.nmea"))])
    def test_nothing_to_go_by(self, trial_folder: Path, asked: ResultWish) -> None:
        sailed(trial_folder)
        with pytest.raises(InputError):
            judge_trial(trial_folder, asked, who="Ines")

    def test_a_boat_alone_sails_three_blocks(self, trial_folder: Path, trial_logs: Write) -> None:
        plan_trial(trial_folder, replace(wish(), kind="alone"), who="Ines")
        start_outing(at(trial_folder, "17:30"))
        note_wind(at(trial_folder, "17:31"), WindSaid(11.0, direction_deg=0.0))
        start_trial(at(trial_folder, "18:00"), carrier="nobody")
        change_trial(at(trial_folder, "18:15"))
        log = trial_logs("ours", seed=1, fast=(900, 1800, 5.0))
        with pytest.raises(InputError, match="A-B-A"):
            judge_trial(trial_folder, ResultWish(ours=log), who="Ines")
        change_trial(at(trial_folder, "18:30"))
        found = judge_trial(trial_folder, ResultWish(ours=log), who="Ines")
        assert found.pair is not None
        assert found.pair.gain.value == pytest.approx(5.0, abs=2.5)
        assert "one boat alone" in found.pair.notes[0]
