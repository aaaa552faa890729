"""Simulated sets and drops: the metres they are said to lose are those of the path."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.simulator.handling import (
    DROP_S,
    FILLS_S,
    LARGEST_DIP,
    SMALLEST_DIP,
    drop_shape,
    handle,
    set_shape,
)
from cringle.track.simulator.turns import Path


def run(rows: int = 300) -> Path:
    return Path(np.full(rows, 150.0), np.full(rows, 3.0), np.full(rows, -5.0))


def to_leeward(path: Path) -> float:
    return float((-path.speed * np.cos(np.radians(path.angle_deg))).sum())


@pytest.mark.parametrize("kind", ["set", "drop"])
def test_metres_lost_are_those_wanted_and_those_of_the_path(kind: str) -> None:
    plain, path = run(), run()
    made = handle(path, kind, row=1000, wanted_m=6.0)
    assert_allclose(made.metres_lost, 6.0)
    assert_allclose(to_leeward(plain) - to_leeward(path), 6.0)


def test_a_set_is_at_the_start_and_a_drop_at_the_end() -> None:
    hoisted, dropped = run(), run()
    first = handle(hoisted, "set", row=1000, wanted_m=8.0)
    last = handle(dropped, "drop", row=1000, wanted_m=8.0)
    assert (first.row, first.first) == (1000, 1000)
    assert (last.row, last.end, last.first) == (1300, 1300, 1300 - int(DROP_S))
    assert hoisted.speed.argmin() == int(FILLS_S)
    assert dropped.speed.argmin() >= 290
    assert_allclose(hoisted.speed[60:], 3.0)
    assert_allclose(dropped.speed[: 300 - int(DROP_S)], 3.0)


def test_a_set_takes_the_rows_until_95_percent_is_back() -> None:
    path = run()
    made = handle(path, "set", row=0, wanted_m=8.0)
    assert path.speed[made.end] >= 0.95 * 3.0
    assert path.speed[made.end - 2] < 0.95 * 3.0


@given(st.floats(0.0, 500.0), st.sampled_from(["set", "drop"]), st.integers(2, 200))
def test_any_wish_keeps_the_boat_sailing(wanted: float, kind: str, rows: int) -> None:
    path = run(rows)
    made = handle(path, kind, row=50, wanted_m=wanted)
    assert SMALLEST_DIP <= made.dip <= LARGEST_DIP
    assert 50 <= made.first <= made.end <= 50 + rows
    assert path.speed.min() >= (1.0 - LARGEST_DIP) * 3.0 - 1e-9


@given(st.floats(-20.0, 200.0))
def test_shapes_stay_between_nothing_and_all(seconds: float) -> None:
    for shape in (set_shape, drop_shape):
        value = float(shape(np.array([seconds]))[0])
        assert 0.0 <= value <= 1.0
