from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from cringle.track.sides import SETTLED_S, settled_runs, side_changes, wind_side


def test_sides_near_bow_and_stern_are_undecided() -> None:
    angles = np.array([0.0, 9.9, -9.9, 10.0, -10.0, 174.0, 177.0, -177.0, 180.0, np.nan])
    assert wind_side(angles).tolist() == [0, 0, 0, 1, -1, 1, 0, 0, 0, 0]


def test_a_tack_has_one_change_in_the_middle() -> None:
    angle = np.concatenate([np.full(60, 40.0), [20.0, 5.0, 0.0, -5.0, -20.0], np.full(60, -40.0)])
    (change,) = side_changes(angle)
    assert abs(change.row - 62) <= 1
    assert (change.before.side, change.after.side) == (1, -1)


def test_a_change_through_exact_zeros_is_found() -> None:
    angle = np.concatenate([np.full(40, 30.0), np.zeros(5), np.full(40, -30.0)])
    assert len(side_changes(angle)) == 1


def test_the_crossing_is_the_middle_of_the_undecided_seconds() -> None:
    angle = np.concatenate([np.full(60, 40.0), np.zeros(12), np.full(60, -40.0)])
    (change,) = side_changes(angle)
    assert abs(change.row - 66) <= 1


def test_luffing_for_some_seconds_is_still_the_same_side() -> None:
    angle = np.concatenate([np.full(15, 40.0), np.full(11, 4.0)] * 6)
    (run,) = settled_runs(angle)
    assert run.end - run.start > 120


def test_luffing_for_long_is_not() -> None:
    angle = np.concatenate([np.full(60, 40.0), np.full(40, 4.0), np.full(60, 40.0)])
    assert len(settled_runs(angle)) == 2


def test_a_swing_and_back_is_no_change() -> None:
    angle = np.concatenate([np.full(60, 40.0), np.full(SETTLED_S - 8, -40.0), np.full(60, 40.0)])
    assert side_changes(angle) == []


def test_single_bad_readings_change_nothing() -> None:
    angle = np.full(200, 40.0)
    angle[::17] = -40.0
    assert len(settled_runs(angle)) == 1
    assert side_changes(angle) == []


def test_an_empty_log_and_a_silent_one_have_no_runs() -> None:
    assert settled_runs(np.array([])) == []
    assert settled_runs(np.full(100, np.nan)) == []


@given(st.lists(st.tuples(st.sampled_from([-1, 1]), st.integers(40, 120)), min_size=1, max_size=8))
def test_every_long_board_is_a_run(boards: list[tuple[int, int]]) -> None:
    angle = np.concatenate([np.full(length, 45.0 * side) for side, length in boards])
    wanted = sum(a != b for (a, _), (b, _) in pairwise(boards))
    assert len(side_changes(angle)) == wanted


@given(st.lists(st.floats(-180.0, 180.0) | st.just(float("nan")), max_size=300))
def test_any_angles_give_ordered_runs(values: list[float]) -> None:
    runs = settled_runs(np.array(values, dtype=float))
    assert all(run.end - run.start >= SETTLED_S for run in runs)
    assert all(a.end <= b.start for a, b in pairwise(runs))


def test_a_silent_receiver_is_no_change_of_side() -> None:
    angle = np.concatenate([np.full(60, 40.0), np.full(60, -40.0), np.full(60, -40.0)])
    angle[75:110] = np.nan  # quiet from 15 s after the tack on, for longer than a side may be undecided
    assert [run.side for run in settled_runs(angle)] == [1, -1]
    (change,) = side_changes(angle)
    assert abs(change.row - 60) <= 1
    flapping = angle.copy()
    flapping[75:110] = 3.0  # head to wind for as long is no pause
    assert [run.start for run in settled_runs(flapping)][1] > 100
    angle[75:140] = np.nan
    assert [run.end - run.start for run in settled_runs(angle)][1] < 60
