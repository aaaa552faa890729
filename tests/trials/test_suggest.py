from __future__ import annotations

from collections.abc import Callable

import pytest

from cringle.trials.optimum import Cell
from cringle.trials.response import Seen, respond
from cringle.trials.suggest import Candidate, suggest

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
    quiet, loud = (suggest([candidate("one", [])], trial_error=error)[0].worth for error in (0.3, 8.0))
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
