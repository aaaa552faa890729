from datetime import UTC, datetime
from types import ModuleType

import numpy as np
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.reading.complete import Complete, complete
from cringle.track.series import series_of
from cringle.track.turns.turns import find_turns
from cringle.units import wrap_degrees

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def log_of(heading: np.ndarray, sog: float = 5.0) -> Complete:
    time = pl.datetime_range(
        START, START.replace(day=19), interval="1s", time_unit="us", time_zone="UTC", eager=True
    )[: heading.size]
    track = {"time": time, "hdg": wrap_degrees(heading), "sog": np.full(heading.size, sog)}
    return complete(series_of(pl.DataFrame(track)))


def boards(turns: list[float], length: int = 90) -> np.ndarray:
    heading, pieces = 20.0, [np.full(length, 20.0)]
    for turn in turns:
        pieces += [np.linspace(heading, heading + turn, 10), np.full(length, heading + turn)]
        heading += turn
    return np.concatenate(pieces)


@given(st.lists(st.sampled_from([-150.0, -90.0, -65.0, 65.0, 90.0, 170.0, 200.0, -340.0]), max_size=5))
def test_every_turn_is_found_with_its_way_round(turns: list[float]) -> None:
    found = find_turns(log_of(boards(turns)))
    assert_allclose([one.turn_deg for one in found], turns, atol=1e-6)
    rows = [(one.at - START).total_seconds() for one in found]
    assert_allclose(rows, [94.5 + 100 * place for place in range(len(turns))], atol=2.0)


def test_directions_before_and_after() -> None:
    (one,) = find_turns(log_of(boards([-90.0])))
    assert_allclose([one.before_deg, one.after_deg], [20.0, 290.0], atol=1e-6)


@pytest.mark.parametrize("turns", [[40.0], [-55.0, 30.0]])
def test_steering_is_no_turn(turns: list[float]) -> None:
    assert find_turns(log_of(boards(turns))) == ()


def test_swerving_is_no_turn() -> None:
    assert find_turns(log_of(80.0 * np.sin(2.0 * np.pi * np.arange(600) / 50.0))) == ()


def test_a_slow_curve_is_no_turn() -> None:
    assert find_turns(log_of(np.linspace(0.0, 360.0, 900))) == ()


def test_a_boat_adrift_does_not_turn() -> None:
    assert find_turns(log_of(boards([90.0]), sog=0.4)) == ()


def test_noise_makes_no_turn() -> None:
    noise = np.random.default_rng(3).normal(0.0, 8.0, 1200)
    assert find_turns(log_of(noise)) == ()


def test_without_direction_there_are_none() -> None:
    assert find_turns(log_of(np.full(300, np.nan))) == ()


def test_positions_alone_give_the_turns_of_an_evening(evenings: ModuleType) -> None:
    sailed = evenings.sail(evenings.Plan(seed=9, start=START, downwind_deg=140.0))
    time = pl.datetime_range(
        START, START.replace(day=19), interval="1s", time_unit="us", time_zone="UTC", eager=True
    )[: sailed.columns["lat"].size]
    track = pl.DataFrame({"time": time, "lat": sailed.columns["lat"], "lon": sailed.columns["lon"]})
    rows = [(one.at - START).total_seconds() for one in find_turns(complete(series_of(track)))]
    missed = [second for second, _ in sailed.manoeuvres if min(abs(np.array(rows) - second)) > 12.0]
    assert missed == []
