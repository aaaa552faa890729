"""Interpolation of coefficient tables against SciPy's, and the uniform grid."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose
from scipy.interpolate import PchipInterpolator

from cringle.errors import InputError
from cringle.physics.curves import (
    UniformCurves,
    grid_angles,
    linear_step,
    pchip,
    pchip_slopes,
    smooth_step,
)
from cringle.physics.tables import load_table

TABLES = ["sails_main", "sails_jib", "sails_kite", "sails_reference"]


@pytest.mark.parametrize("name", TABLES)
def test_same_as_scipy_on_every_sail_table(name):
    columns = load_table(name).columns
    x = columns["angle_deg"]
    at = np.linspace(x[0], x[-1], 2001)
    for column in columns.values():
        assert_allclose(pchip(x, column, at), PchipInterpolator(x, column)(at), atol=1e-13)


@given(
    arrays(np.float64, 7, elements=st.floats(-5.0, 5.0)), arrays(np.float64, 7, elements=st.floats(0.1, 9.0))
)
def test_same_as_scipy_on_any_points(y, widths):
    x = np.cumsum(widths)
    at = np.linspace(x[0], x[-1], 101)
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        expected = PchipInterpolator(x, y)(at)
    assert_allclose(pchip(x, y, at), expected, atol=1e-9)


@given(arrays(np.float64, 6, elements=st.floats(-5.0, 5.0)))
def test_never_leaves_the_range_of_its_neighbours(y):
    x = np.arange(6.0)
    at = np.linspace(0.0, 5.0, 251)
    cell = np.minimum(at.astype(int), 4)
    low, high = np.minimum(y[cell], y[cell + 1]), np.maximum(y[cell], y[cell + 1])
    value = pchip(x, y, at)
    assert (value >= low - 1e-12).all() and (value <= high + 1e-12).all()


def test_nan_outside_and_for_nan():
    x, y = np.array([1.0, 2.0, 4.0]), np.array([0.0, 1.0, 3.0])
    assert np.isnan(pchip(x, y, np.array([0.99, 4.01, np.nan]))).all()
    assert_allclose(pchip(x, y, x), y)
    assert np.ndim(pchip(x, y, 1.5)) == 0


def test_disordered_angles_are_refused():
    with pytest.raises(InputError, match="sort the rows"):
        pchip_slopes(np.array([0.0, 2.0, 1.0]), np.zeros(3))


def test_steps():
    at = np.array([-1.0, 0.0, 0.25, 0.5, 1.0, 2.0])
    assert_allclose(linear_step(at, 0.0, 1.0), [0, 0, 0.25, 0.5, 1, 1])
    assert_allclose(smooth_step(at, 0.0, 1.0), [0, 0, 0.15625, 0.5, 1, 1])


def test_uniform_grid_reads_either_side_and_its_ends():
    angles = grid_angles()
    curves = UniformCurves(np.stack([np.sin(angles), angles]))
    at = np.array([0.0, 0.3, -0.3, np.pi, -np.pi])
    sine, angle = curves.at(at)
    assert_allclose(angle, np.abs(at), atol=1e-12)
    assert_allclose(sine, np.sin(np.abs(at)), atol=1e-7)
    beyond = curves.at(np.array([3.2, np.nan, -4.0, np.inf]))
    assert np.isnan(beyond).all()
    assert np.ndim(curves.at(0.5)[0]) == 0
