from __future__ import annotations

import csv
import json
import math
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from cringle.book.entries import number_payload
from cringle.book.store import Book
from cringle.errors import InputError, OutOfRangeError, RuleError
from cringle.findings import Number, Source
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import open_records
from cringle.workflows.outing import Door, start_outing
from cringle.workflows.outing_notes import WindSaid, note_wind
from cringle.workflows.settings_csv import import_csv
from cringle.workflows.tonight import tonight
from cringle.workflows.trial import (
    TrialWish,
    change_trial,
    known_noise,
    list_trials,
    plan_trial,
    start_trial,
    stop_trial,
)
from cringle.workflows.trial_accept import Place, decide, proposals, stage_proposals, undo
from cringle.workflows.trial_evidence import (
    Row,
    anchor_table,
    season_winds,
    show_evidence,
    suggest_trials,
    write_evidence_picture,
)
from cringle.workflows.trial_json import evidence_json, planned_json, result_json, tips_json
from cringle.workflows.trial_records import Outcome, outcome_entry, outcomes
from cringle.workflows.trial_result import ResultWish, judge_trial, write_gain_picture

ROLE = "jib_sheet_leeward"
START = datetime(2026, 5, 1, 17, 0, tzinfo=UTC)


@pytest.fixture
def folder(book_folder: Path, examples: Path) -> Path:
    Book.open(book_folder, create=True).close()
    import_csv(book_folder, examples / "table.csv", who="coach", why="first table")
    return book_folder


@pytest.fixture
def logs(tmp_path: Path) -> Callable[..., Path]:
    """Return a writer of invented logs: upwind, tacking every 450 s, faster for a while."""

    def write(
        name: str,
        *,
        seed: int,
        east: float = 0.0,
        fast: tuple[int, int, float] = (0, 0, 0.0),
        late_s: int = 0,
    ) -> Path:
        rng, count = np.random.default_rng(seed), 2700
        noise = np.zeros(count)
        for second in range(1, count):
            noise[second] = 0.97 * noise[second - 1] + 0.25 * rng.standard_normal()
        seconds = np.arange(count)
        side = np.where((seconds // 450) % 2 == 0, 1.0, -1.0)
        more = np.where(
            (seconds >= fast[0]) & (seconds < fast[1]), fast[2] / 60.0 / math.cos(math.radians(42.0)), 0.0
        )
        course = np.radians(42.0 * side)
        speed = 2.8 + 0.05 * noise + more
        north, away = np.cumsum(speed * np.cos(course)), east + np.cumsum(speed * np.sin(course))
        path = tmp_path / f"{name}.csv"
        with path.open("w", encoding="utf-8", newline="") as stream:
            rows = csv.writer(stream)
            rows.writerow(["time", "lat", "lon"])
            for n in range(count):
                at = START + timedelta(seconds=int(n) + late_s)
                rows.writerow(
                    [at.isoformat(), f"{54.0 + north[n] / 111320.0:.8f}", f"{-5.0 + away[n] / 65430.0:.8f}"]
                )
        return path

    return write


def wish(value: float = 3.0, **more: object) -> TrialWish:
    return TrialWish({ROLE: value}, 11.0, other="Sorrel", **more)  # type: ignore[arg-type]


def at(folder: Path, text: str) -> Door:
    return Door(folder, "Ines", at=f"2026-05-01T{text}")


def sailed(folder: Path, *, wind: bool = True, **more: object) -> None:
    plan_trial(folder, wish(**more), who="Ines")
    start_outing(at(folder, "17:30"))
    if wind:
        note_wind(at(folder, "17:31"), WindSaid(11.0, direction_deg=0.0))
    start_trial(at(folder, "18:00"))
    change_trial(at(folder, "18:22:30"))
    stop_trial(at(folder, "18:45"))


def keep(
    folder: Path,
    count: int,
    gain: float,
    *,
    role: str = ROLE,
    tried: float = 3.0,
    wind_kn: float | None = 12.0,
    **more: object,
) -> None:
    """Keep invented results of trials of one step."""
    with open_records(folder, who="test") as records:
        taken = len(outcomes(records))
        entries = [
            outcome_entry(
                replace(
                    Outcome(
                        f"t{taken + n + 1}",
                        role,
                        "mark",
                        tried,
                        2.5,
                        0.5,
                        wind_kn,
                        "main+jib",
                        "chop",
                        "settled",
                        f"2026-05-{n + 1:02d}",
                        "pair",
                    ),
                    **{
                        "gain": gain,
                        "low": gain - 0.5,
                        "high": gain + 0.5,
                        "standard_error": 0.3,
                        "swapped": True,
                        "used": True,
                        **more,
                    },
                ),
                None,
            )
            for n in range(count)
        ]
        records.book.write(entries, why="test")


class TestPlan:
    def test_a_plan_is_kept_and_shown_tonight(self, folder: Path) -> None:
        found = plan_trial(folder, wish(), who="Ines")
        assert found.trial.id == "t1"
        assert (found.trial.start, found.trial.to) == (2.5, 3.0)
        assert found.plan.power >= 0.8
        assert tonight(folder, TonightRequest(wind_kn=11.0)).trial == found.trial.text
        assert json.dumps(planned_json(found))

    def test_a_dry_run_keeps_nothing(self, folder: Path) -> None:
        plan_trial(folder, wish(), who="Ines", keep=False)
        assert list_trials(folder) == []

    def test_two_controls_are_refused(self, folder: Path) -> None:
        both = TrialWish({ROLE: 3.0, "vang": 2.0}, 11.0)
        with pytest.raises(InputError, match="2 controls at once"):
            plan_trial(folder, both, who="Ines")

    def test_the_two_sides_of_one_circuit_may_go_together(self, folder: Path) -> None:
        both = TrialWish({ROLE: 3.0, "jib_sheet_windward": 11.0}, 11.0)
        assert plan_trial(folder, both, who="Ines").trial.role == ROLE

    @pytest.mark.parametrize("value", [2.5, 4.0])
    def test_one_step_no_more_no_less(self, folder: Path, value: float) -> None:
        with pytest.raises(OutOfRangeError, match="one step from the table"):
            plan_trial(folder, wish(value), who="Ines")

    def test_what_the_class_forbids_afloat_is_refused(self, folder: Path) -> None:
        with pytest.raises(RuleError, match="ashore"):
            plan_trial(folder, TrialWish({"forestay": 0.5}, 11.0), who="Ines")

    def test_seconds_a_mile_need_a_speed(self, folder: Path) -> None:
        with pytest.raises(InputError, match="speed made good"):
            plan_trial(folder, wish(matters_s_per_mile=9.0), who="Ines")
        found = plan_trial(folder, wish(matters_s_per_mile=9.0, vmg_kn=4.0), who="Ines")
        assert found.trial.matters_m_per_min == pytest.approx(1.247, abs=1e-3)

    def test_past_pairs_make_the_noise(self, folder: Path) -> None:
        keep(folder, 6, 1.0, noise_sd=1.0, forgetting_s=20.0)
        with open_records(folder) as records:
            assert known_noise(records).sd_m_per_min < 2.6
            assert known_noise(records).pairs == 6


class TestAfloat:
    def test_the_settings_in_force_follow(self, folder: Path) -> None:
        sailed(folder)
        trial = list_trials(folder)[0]
        assert trial.state == "stopped"
        assert [one.who for one in trial.carried] == ["us", "them"]

    def test_one_trial_at_a_time(self, folder: Path) -> None:
        for _ in range(2):
            plan_trial(folder, wish(), who="Ines")
        start_outing(at(folder, "17:30"))
        start_trial(at(folder, "18:00"), "t1")
        with pytest.raises(InputError, match="t1 still goes on"):
            start_trial(at(folder, "18:05"), "t2")
        with pytest.raises(InputError, match="before the last change"):
            change_trial(at(folder, "17:59"))

    def test_nothing_planned(self, folder: Path) -> None:
        with pytest.raises(InputError, match="no trial that is planned"):
            start_trial(at(folder, "18:00"))


class TestResult:
    def test_a_pair_from_two_logs(self, folder: Path, logs: Callable[..., Path], tmp_path: Path) -> None:
        sailed(folder)
        ours = logs("ours", seed=1, fast=(0, 1350, 4.0))
        other = logs("other", seed=2, east=70.0, fast=(1350, 2700, 4.0))
        found = judge_trial(folder, ResultWish(ours=ours, other=other), who="Ines")
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

    def test_judging_again_replaces_the_result(self, folder: Path, logs: Callable[..., Path]) -> None:
        sailed(folder)
        ours, other = logs("ours", seed=1), logs("other", seed=2, east=70.0)
        for _ in range(2):
            judge_trial(folder, ResultWish(ours=ours, other=other), who="Ines")
        with open_records(folder) as records:
            assert len(outcomes(records)) == 1

    def test_a_note_is_kept_and_not_used(self, folder: Path) -> None:
        sailed(folder)
        found = judge_trial(folder, ResultWish(note="felt slow"), who="Ines")
        assert (found.outcome.used, found.outcome.kind) == (False, "note")
        assert "no metres" in (found.outcome.why_not or "")
        assert result_json(found)["gain_m_per_min"] is None

    def test_without_wind_it_is_kept_and_not_used(self, folder: Path, logs: Callable[..., Path]) -> None:
        sailed(folder, wind=False)
        asked = ResultWish(
            ours=logs("ours", seed=1), other=logs("other", seed=2, east=70.0), wind_from_deg=0.0
        )
        found = judge_trial(folder, asked, who="Ines")
        assert not found.outcome.used
        assert "no wind was noted" in (found.outcome.why_not or "")

    def test_clocks_an_hour_apart(self, folder: Path, logs: Callable[..., Path]) -> None:
        sailed(folder)
        asked = ResultWish(ours=logs("ours", seed=1), other=logs("other", seed=2, east=70.0, late_s=3600))
        with pytest.raises(InputError, match="--shift -3600"):
            judge_trial(folder, asked, who="Ines")

    def test_the_log_of_another_day(self, folder: Path, logs: Callable[..., Path]) -> None:
        sailed(folder)
        late = 86_400
        asked = ResultWish(
            ours=logs("ours", seed=1, late_s=late), other=logs("other", seed=2, east=70.0, late_s=late)
        )
        with pytest.raises(InputError, match="do not cover the trial"):
            judge_trial(folder, asked, who="Ines")

    @pytest.mark.parametrize("asked", [ResultWish(), ResultWish(ours=Path("nowhere.nmea"))])
    def test_nothing_to_go_by(self, folder: Path, asked: ResultWish) -> None:
        sailed(folder)
        with pytest.raises(InputError):
            judge_trial(folder, asked, who="Ines")

    def test_a_boat_alone_sails_three_blocks(self, folder: Path, logs: Callable[..., Path]) -> None:
        plan_trial(folder, replace(wish(), kind="alone"), who="Ines")
        start_outing(at(folder, "17:30"))
        note_wind(at(folder, "17:31"), WindSaid(11.0, direction_deg=0.0))
        start_trial(at(folder, "18:00"), carrier="nobody")
        change_trial(at(folder, "18:15"))
        log = logs("ours", seed=1, fast=(900, 1800, 5.0))
        with pytest.raises(InputError, match="A-B-A"):
            judge_trial(folder, ResultWish(ours=log), who="Ines")
        change_trial(at(folder, "18:30"))
        found = judge_trial(folder, ResultWish(ours=log), who="Ines")
        assert found.pair is not None
        assert found.pair.gain.value == pytest.approx(5.0, abs=2.5)
        assert "one boat alone" in found.pair.notes[0]


class TestEvidence:
    def test_nothing_yet(self, folder: Path, tmp_path: Path) -> None:
        found = show_evidence(folder)
        assert (found.roles, found.unused) == ((), ())
        write_evidence_picture(found, tmp_path / "none.svg")
        assert "No trial counts" in (tmp_path / "none.svg").read_text(encoding="utf-8")

    def test_trials_propose_a_move_with_their_names(self, folder: Path, tmp_path: Path) -> None:
        keep(folder, 4, 3.0)
        found = show_evidence(folder)
        asked = [one for one in proposals(found) if one.wind_kn == 12.0]
        assert [(one.before, one.observations) for one in asked] == [(2.5, 4)]
        assert asked[0].after in (2.75, 3.0)
        assert "t1 of 2026-05-01" in asked[0].because
        assert json.dumps(evidence_json(found), allow_nan=False)
        write_evidence_picture(found, tmp_path / "evidence.svg")
        assert "move" in (tmp_path / "evidence.svg").read_text(encoding="utf-8")

    def test_a_control_deleted_since_says_so(self, folder: Path) -> None:
        keep(folder, 2, 3.0, role="barber_hauler")
        found = show_evidence(folder)
        assert found.roles == ()
        assert "no longer has this control" in (found.unused[0].why_not or "")

    def test_unknown_role(self, folder: Path) -> None:
        with pytest.raises(InputError, match="did you mean"):
            show_evidence(folder, role="jib_sheet_leward")

    def test_numbers_of_trials_are_no_anchor(self, folder: Path) -> None:
        keep(folder, 4, 3.0)
        decide(folder, Place(ROLE, 12.0), who="Ines")
        with open_records(folder) as records:
            column = anchor_table(records).column("main+jib", "chop", "settled", ROLE)
        assert {cell.wind_kn: cell.number.value for cell in column}[12.0] == 2.5


class TestSuggest:
    def test_three_one_step_each_and_never_ashore(self, folder: Path) -> None:
        found = suggest_trials(folder, 11.0)
        assert len(found.tips) == 3
        assert "forestay" in found.left_out
        assert all(abs(one.to - one.start) in (0.5, 1.0) for one in found.tips)
        keys = {"role", "from", "to", "reason", "expected_gain_m_per_min", "sd_m_per_min"}
        assert all(keys <= set(one) for one in tips_json(found))

    def test_the_winds_of_the_season_come_from_the_outings(self, folder: Path) -> None:
        start_outing(at(folder, "17:30"))
        for minute in range(6):
            note_wind(at(folder, f"17:4{minute}"), WindSaid(12.2))
        from cringle.workflows.trial_evidence import _known

        with open_records(folder) as records:
            winds = dict(season_winds(_known(records, Row())))
        assert sum(winds.values()) == pytest.approx(1.0)
        assert winds[12.0] == max(winds.values())

    @pytest.mark.parametrize("wind_kn", [0.0, 200.0, float("nan")])
    def test_a_wind_that_cannot_be(self, folder: Path, wind_kn: float) -> None:
        with pytest.raises(InputError):
            suggest_trials(folder, wind_kn)

    def test_an_empty_table_says_what_to_do(self, book_folder: Path) -> None:
        with pytest.raises(InputError, match="no settled rows"):
            suggest_trials(book_folder, 11.0)


class TestAccept:
    def test_accepting_moves_the_table_and_undo_brings_it_back(self, folder: Path) -> None:
        keep(folder, 4, 3.0)
        with open_records(folder) as records:
            key = {"sail_set": "main+jib", "sea": "chop", "wind_kn": 12.0, "gear": "settled", "role": ROLE}
            before = Source(records.book.one("setting", "table", **key).payload["source"])  # type: ignore
        done = decide(folder, Place(ROLE, 12.0), who="Ines")
        assert done.decided == "accepted"
        numbers = tonight(folder, TonightRequest(wind_kn=12.0)).numbers
        now = next(one for one in numbers.numbers if one.role == ROLE and one.gear == "settled")
        assert (now.value, now.number.source, now.observations) == (3.0, Source.TRIAL, 4)
        undo(folder, Place(ROLE, 12.0), who="Ines")
        again = tonight(folder, TonightRequest(wind_kn=12.0)).numbers
        then = next(one for one in again.numbers if one.role == ROLE and one.gear == "settled")
        assert (then.value, then.number.source) == (2.5, before)
        with pytest.raises(InputError, match="no accepted change"):
            undo(folder, Place(ROLE, 12.0), who="Ines")

    def test_declining_leaves_the_table_and_is_kept(self, folder: Path) -> None:
        keep(folder, 4, 3.0)
        assert (
            decide(folder, Place(ROLE, 12.0), who="Ines", why="new jib soon", accept=False).decided
            == "declined"
        )
        with open_records(folder) as records:
            kept = records.book.current("trial_decision")
        assert (kept[0].payload["decided"], kept[0].payload["why"]) == ("declined", "new jib soon")
        assert any(one.wind_kn == 12.0 for one in proposals(show_evidence(folder)))

    def test_nothing_to_accept(self, folder: Path) -> None:
        with pytest.raises(InputError, match="asks for no change"):
            decide(folder, Place(ROLE, 12.0), who="Ines")

    def test_settled_numbers_propose_the_next_stage(self, folder: Path) -> None:
        for wind_kn, table in ((10.0, 3.0), (12.0, 2.5), (14.0, 3.0)):
            for side in (0.5, -0.5):
                keep(
                    folder, 6, -2.0, wind_kn=wind_kn, tried=table + side, reference=table, standard_error=0.15
                )
        found = show_evidence(folder)
        assert {one.state for one in found.roles[0].findings if one.cell.wind_kn in (10.0, 12.0, 14.0)} == {
            "settled"
        }
        assert stage_proposals(found) == [ROLE]


def test_a_number_payload_of_a_trial_says_trial() -> None:
    assert number_payload(Number(3.0, "mark", Source.TRIAL))["source"] == "trial"
