"""Finite rotations of many nodes at once: rotation vectors, matrices and their derivatives."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_SMALL_SQUARED = 1e-10


def skew(vectors: Array) -> Array:
    """Return the matrices S with S u = v x u for a stack of vectors.

    Parameters
    ----------
    vectors : array, shape (..., 3)
        The vectors v.

    Returns
    -------
    array, shape (..., 3, 3)
        Skew-symmetric matrices.
    """
    matrices = np.zeros((*vectors.shape, 3))
    matrices[..., 0, 1] = -vectors[..., 2]
    matrices[..., 0, 2] = vectors[..., 1]
    matrices[..., 1, 0] = vectors[..., 2]
    matrices[..., 1, 2] = -vectors[..., 0]
    matrices[..., 2, 0] = -vectors[..., 1]
    matrices[..., 2, 1] = vectors[..., 0]
    return matrices


def cross(first: Array, second: Array) -> Array:
    """Return cross products of two stacks of vectors, shape (n, 3); faster than the general function."""
    ax, ay, az = first[:, 0], first[:, 1], first[:, 2]
    bx, by, bz = second[:, 0], second[:, 1], second[:, 2]
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=1)


def rotation_matrix(vectors: Array) -> Array:
    """Return rotation matrices from rotation vectors (Rodrigues).

    Parameters
    ----------
    vectors : array, shape (..., 3)
        Axis times angle. [rad]

    Returns
    -------
    array, shape (..., 3, 3)
        Orthogonal matrices.

    Notes
    -----
    exp(S) = I + (sin a / a) S + ((1 - cos a) / a^2) S^2; by series for small angles.
    """
    squared = np.sum(vectors * vectors, axis=-1)
    small = squared < _SMALL_SQUARED
    angle = np.sqrt(np.where(small, 1.0, squared))
    first = np.where(small, 1.0 - squared / 6.0, np.sin(angle) / angle)
    second = np.where(small, 0.5 - squared / 24.0, (1.0 - np.cos(angle)) / (angle * angle))
    cross = skew(vectors)
    return np.asarray(
        np.eye(3) + first[..., None, None] * cross + second[..., None, None] * (cross @ cross),
        dtype=np.float64,
    )


def rotation_vector(matrices: Array) -> Array:
    """Return rotation vectors from rotation matrices, for angles below half a turn.

    Parameters
    ----------
    matrices : array, shape (..., 3, 3)
        Orthogonal matrices.

    Returns
    -------
    array, shape (..., 3)
        Axis times angle, angle in [0, pi). [rad]
    """
    axial = 0.5 * np.stack(
        [
            matrices[..., 2, 1] - matrices[..., 1, 2],
            matrices[..., 0, 2] - matrices[..., 2, 0],
            matrices[..., 1, 0] - matrices[..., 0, 1],
        ],
        axis=-1,
    )
    sine = np.sqrt(np.sum(axial * axial, axis=-1))
    cosine = 0.5 * (np.trace(matrices, axis1=-2, axis2=-1) - 1.0)
    small = sine < 1e-5
    ratio = np.where(small, 1.0 + sine * sine / 6.0, np.arctan2(sine, cosine) / np.where(small, 1.0, sine))
    return np.asarray(ratio[..., None] * axial, dtype=np.float64)


def spin_to_vector_rate(vectors: Array) -> Array:
    """Return the matrices that turn a small spin into the change of the rotation vector.

    Parameters
    ----------
    vectors : array, shape (..., 3)
        Present rotation vectors, small (below about 0.5 rad). [rad]

    Returns
    -------
    array, shape (..., 3, 3)
        I - S/2 + S^2/12, the inverse tangent map cut after the second order.

    Notes
    -----
    The first neglected term is angle^4 / 720, below 1e-7 for the deformations of a mast element.

    References
    ----------
    .. [1] J. Argyris, "An excursion into large rotations", Computer Methods in Applied Mechanics and
       Engineering 32 (1982) 85-155.
    """
    cross = skew(vectors)
    return np.asarray(np.eye(3) - 0.5 * cross + (cross @ cross) / 12.0, dtype=np.float64)


def pulled_back_derivative(vectors: Array, moments: Array) -> Array:
    """Return the derivative of (transposed tangent map times a fixed moment) by the rotation vector.

    Parameters
    ----------
    vectors, moments : array, shape (..., 3)
        Rotation vectors [rad] and moments [N m].

    Returns
    -------
    array, shape (..., 3, 3)
        d(T(v)^T m)/dv of the map in `spin_to_vector_rate`.
    """
    dot = np.sum(vectors * moments, axis=-1)[..., None, None]
    outer = vectors[..., :, None] * moments[..., None, :]
    second = dot * np.eye(3) + outer - 2.0 * np.swapaxes(outer, -1, -2)
    return np.asarray(-0.5 * skew(moments) + second / 12.0, dtype=np.float64)
