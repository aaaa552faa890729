import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.spatial.transform import Rotation

from cringle.physics.rotation import (
    cross,
    pulled_back_derivative,
    rotation_matrix,
    rotation_vector,
    skew,
    spin_to_vector_rate,
)

component = st.floats(-0.4, 0.4)
vector = st.tuples(component, component, component).map(np.array)


@given(vector)
def test_matrix_agrees_with_scipy(turn):
    assert_allclose(rotation_matrix(turn), Rotation.from_rotvec(turn).as_matrix(), atol=1e-14)


@given(vector)
def test_round_trip(turn):
    assert_allclose(rotation_vector(rotation_matrix(turn)), turn, atol=1e-12)


def test_large_angle_round_trip():
    turn = np.array([[0.0, 0.0, 3.0], [2.0, -1.0, 0.5]])
    assert_allclose(rotation_vector(rotation_matrix(turn)), turn, atol=1e-12)


def test_tiny_angles_do_not_divide_by_zero():
    turn = np.array([[0.0, 0.0, 0.0], [1e-9, 0.0, -1e-9]])
    assert_allclose(rotation_vector(rotation_matrix(turn)), turn, atol=1e-24)


def test_skew_is_the_cross_product():
    rng = np.random.default_rng(1)
    one, two = rng.normal(size=(2, 5, 3))
    assert_allclose((skew(one) @ two[:, :, None])[:, :, 0], np.cross(one, two))


@given(vector, vector)
def test_spin_rate_is_the_derivative_of_the_rotation_vector(turn, direction):
    step = 1e-6
    ahead = rotation_vector(rotation_matrix(step * direction) @ rotation_matrix(turn))
    behind = rotation_vector(rotation_matrix(-step * direction) @ rotation_matrix(turn))
    angle = np.linalg.norm(turn)
    assert_allclose(
        (ahead - behind) / (2 * step), spin_to_vector_rate(turn) @ direction, atol=2e-9 + angle**4 / 500.0
    )


@given(vector, vector)
def test_pulled_back_derivative(turn, moment):
    step = 1e-6
    for axis in range(3):
        delta = np.eye(3)[axis] * step
        ahead = spin_to_vector_rate(turn + delta).T @ moment
        behind = spin_to_vector_rate(turn - delta).T @ moment
        assert_allclose(
            (ahead - behind) / (2 * step), pulled_back_derivative(turn, moment)[:, axis], atol=1e-9
        )


def test_cross_is_the_general_function():
    one, two = np.random.default_rng(3).normal(size=(2, 7, 3))
    assert_allclose(cross(one, two), np.cross(one, two))
