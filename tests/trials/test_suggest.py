from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.trials.belief import Places
from cringle.trials.optimum import FLAT_AT_MOST, SURE_TO_MOVE, Cell, at_wind
from cringle.trials.response import Response, Seen, respond
from cringle.trials.suggest import UNPROVEN_SHARE, Candidate, _reachable, _Rows, _views, contrasts, suggest

Maker = Callable[..., list[Seen]]
SEASON = ((6.0, 0.25), (11.0, 0.5), (16.0, 0.25))


def candidate(
    role: str, seen: list[Seen], *, table: float = 0.0, high: float = 8.0, wind_kn: float = 11.0
) -> Candidate:
    season = tuple((Cell(one, table, high=high), chance) for one, chance in SEASON)
    return Candidate(role, respond(seen), Cell(wind_kn, table, high=high), season)


def test_what_is_known_is_not_tried_again(observations: Maker) -> None:
    known = candidate("known", observations(0.0, count=20, error=0.2))
    fresh = candidate("fresh", [])
    found = suggest([known, fresh])
    assert [one.role for one in found] == ["fresh", "known"]
    assert found[0].worth > 3.0 * found[1].worth
    assert "nothing tried yet" in found[0].reason


def test_never_more_than_a_step_and_never_off_the_scale() -> None:
    found = suggest([candidate("one", [], table=2.0, high=2.0)])[0]
    assert found.start == 2.0
    assert found.to == 1.0
    assert suggest([Candidate("stuck", respond([]), Cell(11.0, 0.0, -0.2, 0.2), ((Cell(11.0), 1.0),))]) == []


def test_both_numbers_are_within_a_step_of_the_table_and_on_the_scale() -> None:
    for low, high, count in ((-8.0, 8.0, 3), (-8.0, 2.0, 1), (1.0, 8.0, 3), (1.5, 2.5, 0)):
        pairs = contrasts(Cell(11.0, 2.0, low, high))
        assert len(pairs) == count
        for to, against in pairs:
            assert to != against
            assert all(low <= one <= high and abs(one - 2.0) <= 1.0 for one in (to, against))


def test_noisy_trials_compare_the_two_sides(observations: Maker) -> None:
    found = suggest([candidate("one", observations(1.5, count=2, error=3.0))], trial_error=3.0)[0]
    assert (found.start, found.to, found.against) == (0.0, 1.0, -1.0)
    assert found.gain > 0.0


def test_worth_against_brute_force(observations: Maker) -> None:
    """The quadrature agrees with drawing results and fitting anew."""
    seen, error = observations(1.0, count=3, error=1.0), 1.0
    one = candidate("one", seen)
    views = _views(one, [(1.0, 0.0)])
    enough = np.ones(len(SEASON), dtype=bool)
    fast = views[0].worth(error**2, [chance for _, chance in SEASON], (enough, enough))
    rng, rises = np.random.default_rng(5), []
    cells = [(cell, _reachable(cell)) for cell, _ in one.season]
    place = Places(np.array([11.0]), np.array([1.0]), np.array([0.0]))
    before = [_best_of(one.response, cell, grid) for cell, grid in cells]
    for draws, chance in zip(one.response.draws(place, 300), one.response.chances, strict=True):
        if chance < 0.02:
            continue
        for shown in draws[: round(60 * chance), 0]:
            result = float(shown + error * rng.standard_normal())
            then = respond([*seen, Seen(11.0, 1.0, 0.0, result, error, "later")])
            after = [_best_of(then, cell, grid) for cell, grid in cells]
            rises.append(np.dot(np.subtract(after, before), [weight for _, weight in SEASON]))
    assert fast == pytest.approx(np.mean(rises), abs=4.0 * np.std(rises) / np.sqrt(len(rises)))


def test_a_row_opens_with_its_second_trial_near_that_wind(observations: Maker) -> None:
    """No number moves on one trial, so tonight's rows wait for another and those of other winds stay shut."""
    windy = candidate("one", observations(1.0, count=1, error=0.5), wind_kn=16.0)
    rows = _Rows.of(replace(windy, tonight=Cell(6.0)))
    assert rows.trials.tolist() == [0, 1, 0]
    assert rows.near.tolist() == [True, False, False]
    assert rows.after(0).tolist() == [False, False, False]
    assert rows.after(1).tolist() == [False, False, False]
    assert rows.after(2).tolist() == [True, False, False]
    assert _Rows.of(replace(windy, tonight=Cell(11.0))).after(1).tolist() == [False, True, False]


def test_a_shut_row_counts_only_what_is_expected(observations: Maker) -> None:
    one = candidate("one", observations(1.5, count=3, error=0.3))
    view = _views(one, [(1.0, 0.0)])[0]
    weights = [chance for _, chance in SEASON]
    shut, open_ = (np.full(len(SEASON), state) for state in (False, True))
    assert view.worth(0.25, weights, (shut, open_)) > view.worth(0.25, weights, (open_, open_))
    assert view.worth(0.25, weights, (shut, shut)) <= view.worth(0.25, weights, (shut, open_))


def test_what_was_begun_tonight_is_finished_before_something_new(observations: Maker) -> None:
    """In a seldom wind a control's second trial moves a number; the first of another moves none."""
    known = observations(1.5, count=6, error=0.7)
    first = Seen(16.0, 1.0, -1.0, 8.0, 0.7, "tonight")
    begun, fresh = (
        replace(candidate(name, seen), tonight=Cell(16.0))
        for name, seen in (("begun", [*known, first]), ("fresh", known))
    )
    assert [one.role for one in suggest([fresh, begun], trial_error=0.7)] == ["begun", "fresh"]


def _best_of(response: Response, cell: Cell, grid: np.ndarray) -> float:
    """Return the worth of a row as the suggestion counts it."""
    mean, _, chance = response.summary(at_wind(cell, grid))
    sure = (chance >= SURE_TO_MOVE) & (response.chances[0] <= FLAT_AT_MOST)
    return UNPROVEN_SHARE * max(mean.max(), 0.0) + (1.0 - UNPROVEN_SHARE) * np.where(sure, mean, 0.0).max()


def test_the_better_side_is_tried(observations: Maker) -> None:
    seen = observations(1.5, count=1, error=0.6)
    found = suggest([candidate("one", seen)], trial_error=0.6)[0]
    assert found.to > 0.0
    assert found.gain > 0.0
    assert found.sd > 0.0
    assert "1 trial near this wind" in found.reason


def test_winds_that_come_often_are_worth_more() -> None:
    often = Candidate("often", respond([]), Cell(11.0), ((Cell(11.0), 0.9), (Cell(20.0), 0.1)))
    seldom = Candidate("seldom", respond([]), Cell(11.0), ((Cell(11.0), 0.1), (Cell(20.0), 0.9)))
    assert [one.role for one in suggest([seldom, often])] == ["often", "seldom"]


def test_a_loud_trial_is_worth_less() -> None:
    quiet, loud = (suggest([candidate("one", [])], trial_error=error)[0].worth for error in (0.3, 40.0))
    assert quiet > 2.0 * loud


def test_three_at_most_and_errors_by_role() -> None:
    many = [candidate(f"role {n}", []) for n in range(5)]
    found = suggest(many, trial_error={f"role {n}": 0.5 + n for n in range(5)})
    assert len(found) == 3
    assert found[0].role == "role 0"
    assert [one.worth for one in found] == sorted((one.worth for one in found), reverse=True)


def test_worth_is_never_negative(observations: Maker) -> None:
    assert suggest([candidate("known", observations(0.0, count=30, error=0.05))])[0].worth >= 0.0


@pytest.mark.parametrize("wind_kn", [4.0, 11.0, 24.0])
def test_any_wind_has_an_answer(wind_kn: float) -> None:
    assert len(suggest([candidate("one", [], wind_kn=wind_kn)])) == 1
