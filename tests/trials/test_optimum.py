from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.trials.optimum import Cell, find_optimum, influences, share_within_half, step_grid
from cringle.trials.response import Seen, respond

Maker = Callable[..., list[Seen]]


def test_a_clear_optimum_is_found_and_the_table_moves_a_step(observations: Maker) -> None:
    found = find_optimum(respond(observations(1.5, count=6)), Cell(11.0))
    assert found.best == pytest.approx(1.5, abs=0.5)
    assert found.best_low <= 1.5 <= found.best_high
    assert found.state == "move"
    assert found.move_to in (0.5, 1.0)
    assert found.gain_low < found.gain < found.gain_high
    assert found.move_gain == pytest.approx(3.0 * found.move_to - found.move_to**2, abs=0.4)


def test_a_table_that_is_right_is_settled(observations: Maker) -> None:
    found = find_optimum(respond(observations(0.0, count=8)), Cell(11.0))
    assert found.state == "settled"
    assert found.chance_within_half > 0.9
    assert found.move_to is None


def test_nothing_tried_is_not_known() -> None:
    found = find_optimum(respond([]), Cell(11.0))
    assert (found.state, found.move_to, found.observations) == ("not known", None, 0)


def test_a_control_that_does_nothing_is_flat(observations: Maker) -> None:
    flat = [replace(one, gain=0.0) for one in observations(0.0, count=12, error=0.1)]
    found = find_optimum(respond(flat), Cell(11.0))
    assert found.state == "flat"
    assert found.chance_flat > 0.9


def test_one_trial_never_moves_the_table_however_loud(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cringle.trials.optimum._survives", lambda *_: True)
    one = [Seen(11.0, 1.0, 0.0, 9.0, 0.2, "day 1")]
    assert find_optimum(respond(one), Cell(11.0)).move_to is None


def test_one_wild_trial_among_others_does_not_move_it(observations: Maker) -> None:
    wild = [*observations(0.0, count=4), Seen(11.0, 1.0, 0.0, 30.0, 0.2, "day 9")]
    assert find_optimum(respond(wild), Cell(11.0)).move_to is None


def test_a_move_that_hangs_on_one_trial_is_not_made() -> None:
    seen = [Seen(11.0, 1.0, 0.0, 6.0, 0.3, "day 1"), Seen(11.0, 1.0, 0.0, -1.0, 0.8, "day 2")]
    assert find_optimum(respond(seen), Cell(11.0)).move_to is None


def test_a_move_stays_near_what_was_sailed_and_on_the_scale(observations: Maker) -> None:
    seen = [replace(one, tried=0.5, gain=0.5 * (3.0 - 0.5)) for one in observations(1.5, count=8, error=0.02)]
    assert find_optimum(respond(seen), Cell(11.0)).move_to in (None, 0.5, 1.0)
    assert find_optimum(respond(observations(1.5, count=6)), Cell(11.0, high=0.4)).move_to is None
    assert find_optimum(respond(observations(1.5, count=6)), Cell(11.0, table=1.0)).move_to in (None, 1.5)


def test_other_winds_are_no_evidence_for_this_row(observations: Maker) -> None:
    found = find_optimum(respond(observations(1.5, count=6, wind_kn=20.0)), Cell(8.0))
    assert (found.observations, found.move_to) == (0, None)


def test_the_grid_keeps_to_the_scale() -> None:
    grid = step_grid(Cell(11.0, table=1.0, low=-1.1, high=2.3))
    assert grid[0] == pytest.approx(-1.0)
    assert grid[-1] == pytest.approx(2.25)
    assert np.all(np.diff(grid) == 0.25)


def test_influences_name_the_strongest_first(observations: Maker) -> None:
    seen = [*observations(0.5, count=4, error=0.5), Seen(11.0, 1.0, 0.0, 2.5, 0.3, "day 9", name="loud")]
    found = influences(respond(seen), Cell(11.0))
    assert len(found) == 5
    assert abs(found[0].shift) >= abs(found[-1].shift)
    assert {one.name for one in found} >= {"loud", "trial 0"}


def test_a_number_half_a_step_away_counts_half() -> None:
    away = np.array([-0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75])
    np.testing.assert_allclose(share_within_half(away), [0.0, 0.5, 1.0, 1.0, 1.0, 0.5, 0.0], atol=1e-12)


def test_the_shares_add_up_to_the_chance_of_an_optimum_anywhere() -> None:
    rng = np.random.default_rng(8)
    truth = rng.uniform(-3.0, 3.0, 200_000)
    steps = np.arange(-3.0, 3.01, 0.25)
    nearest = np.bincount(np.rint((truth + 3.0) / 0.25).astype(int), minlength=steps.size) / truth.size
    inside = float(np.mean(np.abs(truth) <= 0.5))
    assert float(nearest @ share_within_half(steps)) == pytest.approx(inside, abs=0.002)
    assert float(nearest[np.abs(steps) <= 0.5].sum()) > inside + 0.03
