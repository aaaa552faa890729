from __future__ import annotations

import json
from pathlib import Path

import pytest
from trial_days import keep

from cringle.boat.read import read_book_files
from cringle.findings import Source
from cringle.output.sheet import sheet_lines, sheet_pdf
from cringle.settings.records import TonightRequest
from cringle.settings.table import TECHNIQUES, Cell
from cringle.track.heel.felt import FeltBias
from cringle.trials.power import plan_minutes, pooled_noise
from cringle.workflows.numbers.settings import show_table
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.outing import Door
from cringle.workflows.round.feel import keep_feel
from cringle.workflows.round.home import HomeAsked, home
from cringle.workflows.round.plan import DRILLS, MATTERS_M_PER_MIN, plan_json, plan_sheet, season_plan
from cringle.workflows.round.route import FOUND_IN, route_action


def test_drills_go_by_what_the_ledger_says(sailed_book: Path) -> None:
    assert season_plan(sailed_book).costs == ()
    found = home(sailed_book, HomeAsked(no_guess=True), who="coach")
    assert found.race is not None
    assert found.race.ledger is not None
    plan = season_plan(sailed_book)
    told = {one.name: one.seconds for one in found.race.ledger.shown if one.seconds > 0.0}
    assert [one.cause for one in plan.costs] == [one for one in told if one in DRILLS]
    for one in plan.costs:
        assert one.lost_s == pytest.approx(told[one.cause], abs=0.05)
        hours = found.race.ledger.sailed_s / 3600.0
        assert one.lost_s_per_h == pytest.approx(told[one.cause] / hours, abs=0.06 / hours), "kept to 0.1 s"


def test_goals_stand_with_what_the_logs_told(sailed_book: Path) -> None:
    for words in ("tacks under 500 m", "tacks under 1 m"):
        set_goal(Door(sailed_book), words)
    assert {row[2] for row in goal_rows(sailed_book)} == {"–"}
    home(sailed_book, HomeAsked(no_guess=True), who="coach")
    told = {row[3]: row[1:3] for row in goal_rows(sailed_book)}
    assert told["tacks under 500 m"] == ("open", "met")
    assert told["tacks under 1 m"] == ("open", "not met")
    goals = {one["text"]: one for one in plan_json(season_plan(sailed_book))["goals"]}
    assert goals["tacks under 1 m"]["met"] is False
    assert "the middle tack" in goals["tacks under 1 m"]["data"]


def goal_rows(folder: Path) -> tuple[tuple[str, ...], ...]:
    """Return the goals of the season's page."""
    sections = plan_sheet(season_plan(folder)).sections
    return next(one.rows for one in sections if one.title == "Goals")


def test_who_can_do_what_has_no_names(sailed_book: Path) -> None:
    gaps = dict(season_plan(sailed_book).gaps)
    assert gaps == {"helm": 2, "main": 2, "jib": 3, "forward": 2}
    assert list(gaps.values()) == sorted(gaps.values())


def is_tested(cell: Cell) -> bool:
    """Return whether a settled upwind number stands on a trial."""
    return (cell.sail_set, cell.gear, cell.number.source) == ("main+jib", "settled", Source.TRIAL)


def test_the_minutes_are_those_of_the_trials_room(sailed_book: Path) -> None:
    plan = season_plan(sailed_book)
    wanted = plan_minutes(MATTERS_M_PER_MIN, pooled_noise(())).minutes
    assert {one.minutes for one in plan.pairing} == {wanted}
    tested = {cell.wind_kn for cell in show_table(sailed_book).table.cells if is_tested(cell)}
    assert {one.wind_kn for one in plan.pairing if one.from_trials} == tested
    noisy = season_plan(sailed_book, past_pairs=[(40.0, 60.0)] * 20)
    longer = noisy.pairing[0].minutes
    assert longer is None or longer > wanted


def test_one_page(sailed_book: Path, tmp_path: Path) -> None:
    from datetime import UTC, datetime

    from pypdfium2 import PdfDocument

    home(sailed_book, HomeAsked(no_guess=True), who="coach")
    for number in range(12):
        route_action(Door(sailed_book), f"drill number {number}", route="drill", owner="crew")
    keep_feel(sailed_book, [FeltBias("Keo", 5, -3.0, -4.0, -2.0)], who="coach")
    sheet = plan_sheet(season_plan(sailed_book))
    (tmp_path / "plan.pdf").write_bytes(sheet_pdf(sheet, datetime(2026, 6, 17, tzinfo=UTC)))
    assert len(PdfDocument(tmp_path / "plan.pdf")) == 1
    page = "\n".join(sheet_lines(sheet))
    assert "Keo: said 3° less than there was" in page
    assert "drill: crew: drill number 0" in page


def test_an_empty_book_says_what_is_missing(book_folder: Path) -> None:
    found = season_plan(book_folder)
    page = "\n".join(sheet_lines(plan_sheet(found)))
    assert "No outing has been talked through yet" in page
    assert "no settled numbers" in page
    json.dumps(plan_json(found), allow_nan=False)


def test_there_is_a_drill_for_every_cause_a_crew_can_work_on() -> None:
    assert set(DRILLS).isdisjoint(TECHNIQUES)
    assert all(DRILLS.values())


def test_the_pairs_that_were_sailed_say_how_long_the_next_takes(sailed_book: Path) -> None:
    """The noise met by the book's own trials is planned with, as the trials room does."""
    keep(sailed_book, 6, 1.0, noise_sd=9.0, forgetting_s=30.0)
    wanted = plan_minutes(MATTERS_M_PER_MIN, pooled_noise([(9.0, 30.0)] * 6)).minutes
    found = season_plan(sailed_book)
    assert {one.minutes for one in found.pairing} == {wanted}
    assert wanted > plan_minutes(MATTERS_M_PER_MIN, pooled_noise(())).minutes
    assert any(f"about {wanted:.0f} minutes" in line for line in sheet_lines(plan_sheet(found)))


def test_every_action_is_found_where_it_was_sent(sailed_book: Path) -> None:
    """A drill and a table entry are on the plan, a trial on tonight's page, the rest on the work list."""
    sent = {route: f"invented job for the {route}" for route in ("drill", "trial", "work list", "table")}
    for route, words in sent.items():
        routed = route_action(Door(sailed_book), words, route=route, owner="crew")
        assert routed.found_in == FOUND_IN[route]
    page = "\n".join(sheet_lines(plan_sheet(season_plan(sailed_book))))
    for route in ("drill", "table"):
        assert sent[route] in page
    assert tonight(sailed_book, TonightRequest(wind_kn=11.0)).trial == sent["trial"]
    assert sent["work list"] in [item.what for item in read_book_files(sailed_book).survey_file.items]
