"""Density of air and dynamic pressure."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import OutOfRangeError
from cringle.physics.air import air_density, dynamic_pressure, saturation_vapour_pressure


def test_dry_air_at_four_temperatures():
    temperature = 273.15 + np.array([5.0, 15.0, 25.0, 30.0])
    assert_allclose(air_density(temperature), [1.2691, 1.2250, 1.1839, 1.1644], atol=6e-5)


@given(st.floats(250.0, 320.0), st.floats(0.0, 0.9))
def test_damp_and_warm_air_is_lighter(temperature, humidity):
    assert air_density(temperature, relative_humidity=humidity + 0.1) < air_density(
        temperature, relative_humidity=humidity
    )
    assert air_density(temperature + 1.0, relative_humidity=humidity) < air_density(
        temperature, relative_humidity=humidity
    )


def test_dynamic_pressure():
    assert_allclose(dynamic_pressure(np.array([5.14444, 10.28889])), [16.21, 64.84], atol=0.005)
    assert np.isnan(dynamic_pressure(np.nan))


def test_scalar_array_and_nan():
    assert np.ndim(air_density(288.15)) == 0
    values = air_density(np.array([288.15, np.nan]))
    assert_allclose(values[0], air_density(288.15))
    assert np.isnan(values[1])


@pytest.mark.parametrize(
    "call",
    [
        lambda: air_density(15.0),
        lambda: saturation_vapour_pressure(np.array([288.0, 400.0])),
        lambda: air_density(288.15, relative_humidity=80.0),
        lambda: air_density(288.15, 1013.25),
    ],
)
def test_a_wrong_unit_is_refused(call):
    with pytest.raises(OutOfRangeError, match="accepted"):
        call()
