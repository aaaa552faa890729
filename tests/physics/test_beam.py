import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.beam import cantilever_beam_column, euler_load, pinned_beam_column


def test_without_thrust_they_are_plain_beams():
    assert_allclose(pinned_beam_column(10.0, 3.0, rigidity=7e4, thrust=0.0), [11.25, 5 * 10 * 81 / 384 / 7e4])
    assert_allclose(cantilever_beam_column(10.0, 3.0, rigidity=7e4, thrust=0.0), [30.0, 10 * 27 / 3 / 7e4])


@given(st.floats(0.01, 0.9))
def test_thrust_amplifies_about_as_one_over_one_minus_the_share_of_euler(share):
    thrust = share * euler_load(7e4, 3.0)
    plain = pinned_beam_column(10.0, 3.0, rigidity=7e4, thrust=0.0)[1]
    assert_allclose(
        pinned_beam_column(10.0, 3.0, rigidity=7e4, thrust=thrust)[1] / plain, 1 / (1 - share), rtol=5e-3
    )


def test_series_and_closed_form_meet():
    near = pinned_beam_column(10.0, 3.0, rigidity=7e4, thrust=0.02)
    assert_allclose(near, pinned_beam_column(10.0, 3.0, rigidity=7e4, thrust=0.2), rtol=1e-5)


@pytest.mark.parametrize("thrust", [76.8e3, 1e9])
def test_at_buckling_it_refuses(thrust):
    with pytest.raises(InputError, match="buckling"):
        pinned_beam_column(10.0, 3.0, rigidity=7e4, thrust=thrust)


def test_tension_given_as_thrust_is_refused():
    with pytest.raises(InputError, match="thrust"):
        cantilever_beam_column(10.0, 3.0, rigidity=7e4, thrust=-1.0)
