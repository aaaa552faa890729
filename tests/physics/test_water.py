"""Density and viscosity."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError
from cringle.physics.water import SEA_SALINITY, Water, dynamic_viscosity, water_at, water_density


def test_fresh_water_is_heaviest_near_four_degrees():
    celsius = np.linspace(0, 40, 401)
    assert abs(celsius[np.argmax(water_density(celsius))] - 4.0) < 0.15


def test_salt_makes_water_heavier_and_thicker():
    salinity = np.linspace(0.0, 0.042, 22)
    assert np.all(np.diff(water_density(12.0, salinity=salinity)) > 0)
    assert np.all(np.diff(dynamic_viscosity(12.0, salinity=salinity)) > 0)


def test_warm_water_is_thinner():
    assert np.all(np.diff(dynamic_viscosity(np.linspace(0, 40, 41), salinity=SEA_SALINITY)) < 0)


def test_broadcasts_over_temperature_and_salinity():
    assert water_density(np.zeros((3, 1)), salinity=np.zeros(4)).shape == (3, 4)


def test_outside_the_range_is_nan():
    assert np.isnan(water_density([-1.0, 41.0])).all()
    assert np.isnan(dynamic_viscosity(15.0, salinity=[-0.01, 0.05])).all()


def test_water_at_matches_the_parts():
    water = water_at(18.0)
    assert_allclose(water.density, water_density(18.0, salinity=SEA_SALINITY))
    assert_allclose(water.viscosity * water.density, dynamic_viscosity(18.0, salinity=SEA_SALINITY))


@pytest.mark.parametrize(("celsius", "salinity"), [(60.0, 0.0), (15.0, 35.0), (float("nan"), 0.0)])
def test_water_at_refuses_impossible_water(celsius, salinity):
    with pytest.raises(InputError, match="fraction"):
        water_at(celsius, salinity=salinity)


def test_weight_of_a_volume():
    assert_allclose(Water(1000.0, 1e-6).weight(2.0), 2000.0 * STANDARD_GRAVITY_M_PER_S2)


@pytest.mark.parametrize(("density", "viscosity"), [(-1.0, 1e-6), (1025.0, 0.0), (1.225, 1.5e-5)])
def test_water_refuses_air_and_nonsense(density, viscosity):
    with pytest.raises(InputError):
        Water(density, viscosity)


def test_repr_has_units():
    assert repr(Water(1025.0, 1.19e-6)) == "Water(1025.0 kg/m3, 1.1900e-06 m2/s)"
