import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.vibration import (
    clamped_frequency_factor,
    overtones,
    stiffness_number,
    string_frequency,
    tension_from_frequency,
)


@given(st.floats(100.0, 8000.0))
def test_tension_and_frequency_are_inverse(tension):
    assert_allclose(tension_from_frequency(string_frequency(tension, 8.0, 0.08), 8.0, 0.08), tension)


def test_no_frequency_is_refused():
    with pytest.raises(InputError, match="above zero"):
        tension_from_frequency(0.0, 8.0, 0.08)


def test_overtones_stretch():
    plain, stiff = overtones(10.0, 0.0, [1, 2, 20]), overtones(10.0, 1e-4, [1, 2, 20])
    assert_allclose(plain, [10.0, 20.0, 200.0])
    assert_allclose(stiff[2], 200.0 * np.sqrt(1.04))


def test_stiffness_of_demo_wires_is_small():
    """A solid 4 mm rod is the upper bound for strand."""
    rigidity = 107.5e9 * np.pi * 0.004**4 / 64
    assert stiffness_number(rigidity, 2500.0, 8.0) < 2e-4
    assert 1.0 < clamped_frequency_factor(rigidity, 2500.0, 8.0) < 1.02
