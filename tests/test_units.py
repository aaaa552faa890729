"""Conversions against the exact definitions, and directions that stay in their range."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle import units

ANGLES = st.floats(-1e6, 1e6, allow_nan=False)


@pytest.mark.parametrize(
    ("there", "back", "value", "expected"),
    [
        (units.knots_to_metres_per_second, units.metres_per_second_to_knots, 3600.0, 1852.0),
        (units.inches_to_millimetres, units.millimetres_to_inches, 1.0, 25.4),
        (units.pounds_to_kilograms, units.kilograms_to_pounds, 100.0, 45.359237),
        (units.degrees_to_radians, units.radians_to_degrees, 180.0, np.pi),
        (units.millimetres_to_metres, units.metres_to_millimetres, 1000.0, 1.0),
    ],
)
def test_exact_definitions_and_round_trip(there, back, value, expected) -> None:
    assert_allclose(there(value), expected, rtol=1e-15)
    assert_allclose(back(there(np.array([value, -value]))), [value, -value], rtol=1e-14)


def test_one_way_conversions() -> None:
    assert_allclose(units.kilometres_per_hour_to_knots(1.852), 1.0, rtol=1e-15)
    assert_allclose(units.metres_to_nautical_miles(1852.0), 1.0, rtol=1e-15)
    assert_allclose(units.pounds_force_to_newtons(1.0), 4.4482216152605, rtol=1e-13)


@given(ANGLES)
def test_directions_stay_in_range(angle: float) -> None:
    assert 0.0 <= units.wrap_degrees(angle) < 360.0
    assert -180.0 < units.wrap_signed_degrees(angle) <= 180.0


def test_directions_at_the_ends() -> None:
    assert units.wrap_degrees(-1e-20) == 0.0
    assert units.wrap_signed_degrees(-180.0) == 180.0
    assert units.wrap_signed_degrees(540.0) == 180.0
    assert_allclose(units.wrap_degrees(np.array([-90.0, 360.0, 725.0])), [270.0, 0.0, 5.0])
    assert np.isnan(units.wrap_degrees(float("nan")))
