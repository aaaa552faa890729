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


LOAD, LENGTH, TENSION = st.floats(0.1, 150.0), st.floats(0.5, 12.0), st.floats(300.0, 2e4)


@given(LOAD, LENGTH, TENSION)
def test_a_hanging_wire_is_longer_than_its_span_and_pulls_hardest_at_its_ends(load, length, horizontal):
    sag, end, arc = wire.catenary(load, length, horizontal)
    assert sag > 0.0
    assert arc >= length
    assert end >= horizontal
    assert_allclose(end - horizontal, load * sag, rtol=1e-6, atol=1e-7 * horizontal)


@given(LENGTH, TENSION)
def test_a_taut_catenary_is_a_parabola(length, horizontal):
    load = 0.01 * horizontal / length
    sag, _, arc = wire.catenary(load, length, horizontal)
    assert_allclose(sag, wire.parabola_sag(load, length, horizontal), rtol=1e-4)
    assert_allclose(arc - length, wire.arc_excess(sag, length), rtol=1e-3)


@given(LOAD, LENGTH, TENSION)
def test_a_triangle_and_its_mirror_make_an_even_load(load, length, tension):
    largest, place, middle = wire.triangular_sag(load, length, tension)
    assert_allclose(2.0 * middle, wire.parabola_sag(load, length, tension), rtol=1e-12)
    assert largest >= middle
    assert 0.0 < place < 0.5 * length


@given(LOAD, LENGTH, TENSION)
def test_the_largest_triangular_sag_is_where_the_curve_turns(load, length, tension):
    largest, place, middle = wire.triangular_sag(load, length, tension)

    def curve(z):
        return load * z * (length - z) * (2.0 * length - z) / (6.0 * length * tension)

    assert_allclose(curve(place), largest, rtol=1e-12)
    assert_allclose(curve(0.5 * length), middle, rtol=1e-12)
    assert max(curve(place - 0.01), curve(place + 0.01)) < largest


@given(st.floats(1e-4, 0.05), LENGTH, st.floats(1e4, 1e7), st.floats(1e3, 1e7))
def test_a_soft_rig_takes_up_less_tension(take_up, length, stiffness, rest):
    rigid = wire.take_up_tension(take_up, length, stiffness)
    soft = wire.take_up_tension(take_up, length, stiffness, rest)
    assert soft < rigid
    assert_allclose(rigid, stiffness * take_up / length, rtol=1e-12)
    assert_allclose(1.0 / soft, 1.0 / rigid + 1.0 / (rest * take_up), rtol=1e-9)


@given(st.floats(200.0, 5000.0), st.floats(1.0, 100.0), st.floats(1.05, 3.0))
def test_more_wind_sags_the_stay_more_and_more_tension_less(start, load, more):
    def sag(tension, side):
        return wire.elastic_sag(tension, side, 8.5, stiffness=1.35e6, rest_stiffness=6e4)[1]

    assert sag(start, more * load) > sag(start, load)
    assert sag(more * start, load) < sag(start, load)


@given(st.floats(0.001, 0.012), st.floats(1.1, 4.0))
def test_stiffness_and_mass_go_with_the_square_of_the_diameter(diameter, ratio):
    assert_allclose(wire.strand_stiffness(ratio * diameter), ratio**2 * wire.strand_stiffness(diameter))
    assert_allclose(wire.strand_mass(ratio * diameter), ratio**2 * wire.strand_mass(diameter))
