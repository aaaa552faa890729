from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.series import Series
from cringle.trials.pair import (
    Carry,
    GainSeries,
    PairResult,
    PairWish,
    carried_at,
    compare,
    result_of,
    smooth_wind,
    widened,
)
from cringle.trials.together import together
from cringle.trials.verdict import Answer

Maker = Callable[..., Series]


def compared(ours: Series, other: Series, **wish: object) -> PairResult:
    both = together(ours, other)
    return compare(both, smooth_wind(both, 0.0), PairWish(**wish))  # type: ignore[arg-type]


def series(
    gain: np.ndarray, carried: np.ndarray, right: np.ndarray | None = None, *, width: float = 10.0
) -> GainSeries:
    n = gain.size
    return GainSeries(
        start=together_start(),
        middle_s=(np.arange(n) + 0.5) * width,
        gain=gain,
        height=0.25 * gain,
        speed=0.75 * gain,
        carried=carried,
        right_m=np.full(n, 40.0) if right is None else right,
        stretch=np.zeros(n, dtype=np.intp),
        width_s=width,
    )


def together_start():
    from datetime import UTC, datetime

    return datetime(2026, 5, 1, 17, tzinfo=UTC)


def test_a_faster_boat_gains_by_speed(boat: Maker) -> None:
    found = compared(boat(900, speed=2.9, noise=0.03, seed=1), boat(900, noise=0.03, seed=2, east=50.0))
    true = 0.1 * np.cos(np.radians(42.0)) * 60.0
    assert found.gain.value == pytest.approx(true, abs=2.0)
    assert found.speed.value == pytest.approx(found.gain.value, abs=0.1)
    assert found.height.value == pytest.approx(0.0, abs=0.1)
    assert found.gain.value == pytest.approx(found.height.value + found.speed.value)


def test_a_higher_boat_gains_by_height(boat: Maker) -> None:
    found = compared(boat(300, angle_deg=40.0, noise=0.01, seed=1), boat(300, noise=0.01, seed=2, east=40.0))
    true = 2.8 * 60.0 * (np.cos(np.radians(40.0)) - np.cos(np.radians(42.0)))
    assert found.height.value == pytest.approx(true, rel=0.05)
    assert abs(found.speed.value) < 1.0


def test_downwind_lower_is_a_gain(boat: Maker) -> None:
    ours = boat(300, angle_deg=155.0, noise=0.01, seed=1)
    found = compared(ours, boat(300, angle_deg=150.0, noise=0.01, seed=2, east=60.0))
    assert found.gain.value > 0.0
    assert found.stretches[0].leg == "down"


def test_the_gain_is_the_boat_with_the_change(boat: Maker) -> None:
    ours, other = boat(900, speed=2.85, noise=0.02, seed=1), boat(900, noise=0.02, seed=2, east=50.0)
    with_us = compared(ours, other)
    with_them = compared(ours, other, carries=(Carry(0.0, -1),))
    assert with_them.gain.value == pytest.approx(-with_us.gain.value)


def test_swapping_over_tells_boat_from_change() -> None:
    rng = np.random.default_rng(1)
    carried = np.repeat([1.0, -1.0], 60)
    found = result_of(series(3.0 * carried + 6.0 + rng.standard_normal(120), carried), PairWish())
    assert found.gain.value == pytest.approx(3.0, abs=0.4)
    assert found.boat is not None
    assert found.boat.value == pytest.approx(6.0, abs=0.4)
    assert not any("not swapped" in one for one in found.notes)


def test_the_gradient_across_the_course_is_taken_out_when_sides_were_swapped() -> None:
    rng = np.random.default_rng(2)
    right = np.tile(np.repeat([60.0, -60.0], 30), 2)
    carried = np.repeat([1.0, -1.0], 60)
    gain = 2.0 * carried + 5.0 * right / 100.0 + 0.5 * rng.standard_normal(120)
    found = result_of(series(gain, carried, right), PairWish())
    assert found.gradient is not None
    assert found.gradient.value == pytest.approx(5.0, abs=0.6)
    assert found.gain.value == pytest.approx(2.0, abs=0.4)


def test_boats_that_kept_their_sides_are_told() -> None:
    gain = np.random.default_rng(3).standard_normal(60)
    found = result_of(series(gain, np.ones(60)), PairWish())
    assert found.gradient is None
    assert any("kept their sides" in one for one in found.notes)
    assert any("not swapped" in one for one in found.notes)


def test_little_is_not_enough_yet() -> None:
    gain = np.repeat(np.random.default_rng(4).standard_normal(10), 3)
    found = result_of(series(gain, np.ones(30)), PairWish())
    assert found.verdict.answer is Answer.NOT_ENOUGH
    assert found.verdict.minutes_still_needed > 0.0


def test_effective_minutes_are_never_more_than_usable_ones() -> None:
    for seed in range(5):
        gain = np.random.default_rng(seed).standard_normal(120)
        found = result_of(series(gain, np.ones(120)), PairWish())
        assert 0.0 < found.effective_min <= found.usable_min == 20.0


def test_always_valid_is_wider_and_the_second_opinion_waits_for_an_hour() -> None:
    gain = np.random.default_rng(5).standard_normal(361)
    long = result_of(series(gain, np.ones(361)), PairWish())
    assert long.always_low < long.gain.low
    assert long.always_high > long.gain.high
    assert long.second_opinion is not None
    assert result_of(series(gain[:300], np.ones(300)), PairWish()).second_opinion is None


def test_long_records_are_widened_within_stretches() -> None:
    whole = series(np.arange(400.0), np.repeat([1.0, -1.0], 200))
    parts = replace(whole, stretch=np.repeat([0, 1], [150, 250]).astype(np.intp))
    found = widened(parts)
    assert found.width_s == 30.0
    assert set(found.carried) == {1.0, -1.0}
    assert found.gain[0] == pytest.approx(1.0)


def test_who_carried_when() -> None:
    seconds = np.array([0.0, 50.0, 100.0, 200.0])
    assert carried_at((), seconds).tolist() == [1, 1, 1, 1]
    swaps = (Carry(100.0, 0), Carry(0.0, -1), Carry(150.0, 1))
    assert carried_at(swaps, seconds).tolist() == [-1, -1, 0, 1]


def test_nobody_carried_the_change() -> None:
    with pytest.raises(InputError, match="neither boat"):
        result_of(series(np.arange(20.0), np.zeros(20)), PairWish())


def test_the_wind_of_the_logs_is_smoothed_over_the_turn_of_the_compass(boat: Maker) -> None:
    ours = boat(600)
    ours.twd[:] = np.where(np.arange(600) % 2 == 0, 350.0, 10.0)
    both = together(ours, boat(600, east=40.0))
    assert np.abs(smooth_wind(both)[100:500]).max() < 1.0


def test_without_any_wind_direction_it_asks(boat: Maker) -> None:
    blind = [replace(boat(300, east=one), twd=np.full(300, np.nan)) for one in (0.0, 40.0)]
    with pytest.raises(InputError, match="where the wind came from"):
        smooth_wind(together(*blind))


def test_boats_on_different_legs_say_so(boat: Maker) -> None:
    with pytest.raises(InputError, match="on different legs") as caught:
        compared(boat(300), boat(300, angle_deg=150.0, east=40.0))
    assert "same leg" in str(caught.value)


def test_heel_that_was_not_measured_is_none(boat: Maker) -> None:
    found = compared(boat(300, heel_deg=15.0), boat(300, noise=0.01, east=40.0))
    assert found.stretches[0].heel_deg == (pytest.approx(15.0), None)
