import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics import wire


def test_stiffness_and_mass_take_arrays():
    assert wire.strand_stiffness([0.003, 0.004]).shape == (2,)
    assert_allclose(wire.strand_mass(0.004), 0.0783, atol=2e-4)


def test_sag_falls_with_tension_to_nothing():
    tension = np.array([1e3, 1e4, 1e9])
    sag = wire.parabola_sag(60.0, 8.5, tension)
    assert np.all(np.diff(sag) < 0.0)
    assert sag[-1] < 1e-6


@given(st.floats(0.01, 0.5))
def test_tension_for_sag_is_the_inverse(sag):
    assert_allclose(wire.parabola_sag(60.0, 8.5, wire.tension_for_sag(60.0, 8.5, sag)), sag, rtol=1e-12)


def test_no_sag_is_refused():
    with pytest.raises(InputError, match="infinite"):
        wire.tension_for_sag(60.0, 8.5, 0.0)


def test_catenary_that_cannot_hold_is_refused():
    with pytest.raises(InputError, match="no catenary"):
        wire.catenary_horizontal(60.0, 8.5, 200.0)


def test_catenary_end_tension_round_trip():
    horizontal = wire.catenary_horizontal(60.0, 8.5, 900.0)
    assert_allclose(wire.catenary(60.0, 8.5, horizontal)[1], 900.0, rtol=1e-9)


@given(st.floats(100.0, 5000.0), st.floats(1.0, 150.0), st.floats(20e3, 1e6))
def test_elastic_sag_meets_its_own_equation(start, load, rest):
    tension, sag = wire.elastic_sag(start, load, 8.5, stiffness=1.35e6, rest_stiffness=rest)
    give = 8.5 / 1.35e6 + 1.0 / rest
    assert tension > start
    assert_allclose((tension - start) * give, load**2 * 8.5**3 / (24.0 * tension**2), rtol=1e-5)
    assert_allclose(sag, load * 8.5**2 / (8.0 * tension), rtol=1e-9)


def test_softer_rig_lets_the_stay_sag_more():
    stiff = wire.elastic_sag(2000.0, 60.0, 8.5, stiffness=1.35e6)[1]
    soft = wire.elastic_sag(2000.0, 60.0, 8.5, stiffness=1.35e6, rest_stiffness=60e3)[1]
    assert soft > stiff
