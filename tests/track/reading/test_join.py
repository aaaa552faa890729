from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.reading.join import (
    LineClock,
    Reading,
    coalesce,
    concatenate,
    join_column,
    usual_time_per_line,
)
from cringle.units import wrap_degrees


def reading(seconds: list[float], **values: list[float]) -> Reading:
    time = np.array([round(one * 1e6) for one in seconds], dtype=np.int64)
    return Reading(np.arange(len(time)), time, {name: np.array(one) for name, one in values.items()})


def at(*seconds: float) -> np.ndarray:
    return np.array([round(one * 1e6) for one in seconds], dtype=np.int64)


def test_nearest_earlier_value_not_older_than_two_seconds() -> None:
    found = join_column("stw", at(0.5, 1.0, 1.9, 3.0, 3.1), reading([1.0, 2.0], stw=[5.0, 6.0]))
    assert_allclose(found, [np.nan, 5.0, 5.0, 6.0, 6.0])


def test_older_than_two_seconds_is_unknown() -> None:
    found = join_column("stw", at(3.0, 3.000001), reading([1.0], stw=[5.0]))
    assert_allclose(found, [5.0, np.nan])


def test_angles_are_interpolated_over_north() -> None:
    found = join_column("hdg", at(1.0, 1.5, 1.75, 2.0), reading([1.0, 2.0], hdg=[350.0, 10.0]))
    assert_allclose(found, [350.0, 0.0, 5.0, 10.0], atol=1e-9)


def test_signed_angles_are_interpolated_over_the_stern() -> None:
    found = join_column("twa", at(1.5, 1.75), reading([1.0, 2.0], twa=[170.0, -170.0]))
    assert_allclose(found, [180.0, -175.0])


def test_an_angle_with_no_later_reading_near_is_held() -> None:
    found = join_column("hdg", at(1.5, 2.5), reading([1.0, 5.0], hdg=[350.0, 10.0]))
    assert_allclose(found, [350.0, 350.0])


def test_speeds_are_not_interpolated() -> None:
    assert_allclose(join_column("aws", at(1.5), reading([1.0, 2.0], aws=[4.0, 8.0])), [4.0])


def test_unknown_values_are_passed_over() -> None:
    assert_allclose(join_column("stw", at(2.0), reading([1.0, 2.0], stw=[5.0, np.nan])), [5.0])


def test_no_readings() -> None:
    assert np.isnan(join_column("stw", at(1.0, 2.0), reading([], stw=[]))).all()
    assert join_column("stw", at(), reading([1.0], stw=[5.0])).shape == (0,)


@given(first=st.floats(0, 359.9), turn=st.floats(-179, 179), share=st.integers(0, 100))
def test_interpolated_angles_stay_on_the_way(first: float, turn: float, share: int) -> None:
    pair = reading([0.0, 1.0], hdg=[first, float(wrap_degrees(first + turn))])
    found = float(join_column("hdg", at(share / 100), pair)[0])
    expected = (first + turn * share / 100) % 360.0
    assert 0.0 <= found < 360.0
    assert abs((found - expected + 180.0) % 360.0 - 180.0) < 1e-6


def test_first_known_value_wins() -> None:
    nan = np.nan
    assert_allclose(coalesce([np.array([nan, 1.0, nan]), np.array([2.0, 3.0, nan])]), [2.0, 1.0, nan])


def test_lines_between_fixes_are_spread_evenly() -> None:
    clock = LineClock(np.array([0, 10]), at(0.0, 2.0), 200_000.0)
    times, known = clock.at(np.array([0, 5, 9]))
    assert_allclose(times, at(0.0, 1.0, 1.8))
    assert known.all()


def test_lines_beyond_the_ends_follow_the_usual_rate_for_a_while() -> None:
    clock = LineClock(np.array([100, 110]), at(100.0, 102.0), 200_000.0)
    times, known = clock.at(np.array([95, 112, 1000]))
    assert_allclose(times[:2], at(99.0, 102.4))
    assert known.tolist() == [True, True, False]


def test_lines_before_a_gap_stay_with_the_fix_before_it() -> None:
    clock = LineClock(np.array([0, 10, 20]), at(0.0, 2.0, 3600.0), 200_000.0)
    times, known = clock.at(np.array([15]))
    assert_allclose(times, at(3.0))
    assert known.all()


def test_lost_fixes_with_lines_at_the_usual_rate_are_bridged() -> None:
    clock = LineClock(np.array([0, 100]), at(0.0, 22.0), 200_000.0)
    times, known = clock.at(np.array([50]))
    assert_allclose(times, at(11.0))
    assert known.all()


def test_usual_rate() -> None:
    assert usual_time_per_line(np.array([0, 10, 20, 30]), at(0, 2, 4, 900)) == 200_000.0
    assert usual_time_per_line(np.array([0]), at(0)) == 0.0


def test_concatenated_and_taken() -> None:
    both = concatenate(reading([1.0], stw=[5.0]), reading([2.0], stw=[6.0]))
    assert both.take(slice(1, None)).values["stw"].tolist() == [6.0]
