"""The simulated season runs through the real workflows, comes out the same twice, and its figures add up."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from lxml import etree

sys.path.insert(0, str(Path(__file__).parents[2]))

from bench.proof_figures import CAUSES, CREWS, Figures, picture, table
from bench.proof_world import PENALTY_KN, TUNABLE, Habit, hidden, winds_of
from bench.season_proof import Season, season

from cringle.workflows.outings.outing import list_outings
from cringle.workflows.round.plan import season_plan
from cringle.workflows.trials.trial import list_trials

ROOM = dict.fromkeys(TUNABLE, (-6.0, 6.0))


@pytest.fixture(scope="module")
def sailed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Season, Path]:
    """Return two outings of one seed, and the folder they left."""
    folder = tmp_path_factory.mktemp("proof")
    return season(3, outings=2, folder=folder), folder


def test_two_outings_go_through_the_book(sailed: tuple[Season, Path]) -> None:
    found, folder = sailed
    book = folder / "season-3" / "book"
    outings = list_outings(book)
    assert [one.is_open for one in outings] == [False, False]
    assert all(len(one.logs) == 1 for one in outings)
    assert [one.state for one in list_trials(book)] == ["judged"] * found.trials
    assert found.trials == 4
    assert season_plan(book).costs, "both outings were talked through at home"


def test_all_start_alike_and_never_changing_loses_the_most_heel(sailed: tuple[Season, Path]) -> None:
    lost = sailed[0].lost
    for cause in CAUSES:
        assert lost["random"][cause][0] == lost["never"][cause][0]
    assert min(lost["never"]["trim"]) > 10.0, "settings one to two steps off cost something"
    if sailed[0].drills:
        assert lost["follows"]["heel"][1] < lost["never"]["heel"][1]


def test_the_truth_is_hidden_where_it_should_be() -> None:
    truth = hidden(5, ROOM)
    steps = {role: truth.best(role, PENALTY_KN) for role in TUNABLE}
    assert truth.lost_m_per_min(PENALTY_KN, steps) == pytest.approx(0.0)
    off = [role for role, value in steps.items() if abs(value) > 0.9]
    assert len(off) >= 3
    one = {**steps, TUNABLE[0]: steps[TUNABLE[0]] + 1.0}
    assert truth.lost_m_per_min(PENALTY_KN, one) == pytest.approx(truth.penalties[TUNABLE[0]])
    assert hidden(5, ROOM).penalties == truth.penalties
    assert winds_of(5, 24) == winds_of(5, 24)


def test_a_drill_takes_its_share_of_the_bad_heel() -> None:
    assert Habit(5.0, 5.0).drilled(0.2) == Habit(pytest.approx(4.0), pytest.approx(4.4))
    assert Habit(5.0, 5.0).drilled(0.0) == Habit(5.0, 5.0)


def made(follows: float, never: float) -> Figures:
    noise = np.random.default_rng(1).normal(0.0, 0.5, (6, 8))
    values = {"follows": follows, "random": never, "never": never}
    return Figures(
        {crew: {"trim": values[crew] + noise, "heel": 0.5 * values[crew] + noise} for crew in CREWS}
    )


def test_the_figures_add_up() -> None:
    found = made(40.0, 100.0)
    share, low, high = found.recovered()
    assert low <= share <= high
    assert share == pytest.approx(0.6, abs=0.02)
    assert found.recovered("heel")[0] == pytest.approx(0.6, abs=0.02)
    assert found.worse_outings() == 0
    assert made(110.0, 100.0).worse_outings() == 8, "the same dice for both: all of the gap is real"


def test_table_and_picture_say_the_same() -> None:
    found = made(40.0, 100.0)
    words = table(found)
    assert "| does what the tool says | " in words
    assert f"{round(100.0 * found.recovered()[0])} %" in words
    drawn = etree.fromstring(picture(found).encode())
    lines = drawn.findall("{http://www.w3.org/2000/svg}polyline")
    assert [len(one.get("points", "").split()) for one in lines] == [8, 8, 8]
