import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.track.circle import circular_mean_deg, circular_spread_deg, difference_deg, unwind_deg

angles = st.lists(st.floats(-720.0, 720.0), min_size=1, max_size=30)


def test_mean_crosses_north() -> None:
    assert_allclose(circular_mean_deg(np.array([350.0, 10.0, np.nan])), 0.0, atol=1e-9)
    assert_allclose(circular_mean_deg(np.array([170.0, -170.0])), 180.0, atol=1e-9)


def test_nothing_known_is_nan() -> None:
    assert np.isnan(circular_mean_deg(np.array([np.nan])))
    assert np.isnan(circular_spread_deg(np.array([])))


def test_spread_of_small_angles_is_the_standard_deviation() -> None:
    noise = np.random.default_rng(5).normal(0.0, 4.0, 20_000)
    assert_allclose(circular_spread_deg(350.0 + noise), noise.std(), rtol=0.01)


def test_spread_of_one_direction_is_zero() -> None:
    assert_allclose(circular_spread_deg(np.full(7, 123.0)), 0.0, atol=1e-5)


@pytest.mark.parametrize(
    ("to", "origin", "way"), [(10, 350, 20), (350, 10, -20), (180, 0, 180), (0, 180, 180)]
)
def test_difference_is_the_short_way(to: float, origin: float, way: float) -> None:
    assert_allclose(difference_deg(to, origin), way)


@given(angles)
def test_unwinding_keeps_directions_and_never_jumps(values: list[float]) -> None:
    given_ = np.mod(np.array(values), 360.0)
    out = unwind_deg(given_)
    assert_allclose(np.cos(np.radians(out)), np.cos(np.radians(given_)), atol=1e-9)
    assert np.all(np.abs(np.diff(out)) <= 180.0 + 1e-9)


def test_unwinding_bridges_gaps() -> None:
    out = unwind_deg(np.array([350.0, np.nan, 10.0]))
    assert_allclose(out, [350.0, np.nan, 370.0])
