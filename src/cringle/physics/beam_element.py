"""Corotational beam-column elements in three dimensions, many at once.

Each element carries a frame of its own that follows its chord and the mean of its end rotations. In that
frame deformations stay small, so a linear beam (with the shortening that bending itself causes) is enough,
while displacements and rotations of the whole mast may be large. The tangent leaves out products of
twist and end moment (1e-3 of it at 2 degrees of twist): that slows the last step a little and moves no
answer.

References
----------
.. [1] M. A. Crisfield, "A consistent co-rotational formulation for non-linear, three-dimensional
   beam-elements", Computer Methods in Applied Mechanics and Engineering 81 (1990) 131-150.
.. [2] J.-M. Battini and C. Pacoste, "Co-rotational beam elements with warping effects in instability
   problems", Computer Methods in Applied Mechanics and Engineering 191 (2002) 1755-1789.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.physics.rotation import (
    cross,
    pulled_back_derivative,
    rotation_vector,
    skew,
    spin_to_vector_rate,
)

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@dataclass(frozen=True)
class Beams:
    """Beam-column elements, one row an element.

    Parameters
    ----------
    start, end : int array, shape (m,)
        Node numbers.
    axial : array, shape (m,)
        E A. [N]
    bending_y, bending_z : array, shape (m,)
        E I about the element's own y and z axis; bending in the plane of x and `side` is about z. [N m2]
    torsion : array, shape (m,)
        G J. [N m2]
    side : array, shape (m, 3)
        A direction in the element's x-y plane, not along the element.
    """

    start: Index
    end: Index
    axial: Array
    bending_y: Array
    bending_z: Array
    torsion: Array
    side: Array


@dataclass(frozen=True)
class BeamState:
    """What one evaluation of all elements gives.

    Parameters
    ----------
    force : array, shape (m, 12)
        End forces and moments on the nodes, global axes: force and moment at the start, then at the end.
        [N, N m]
    tangent : array, shape (m, 12, 12)
        Derivative of `force` by small displacements and spins.
    axial_force : array, shape (m,)
        Tension positive. [N]
    """

    force: Array
    tangent: Array
    axial_force: Array


def element_axes(start: Array, end: Array, side: Array) -> tuple[Array, Array]:
    """Return lengths and the starting axes (columns x, y, z) of straight elements.

    Parameters
    ----------
    start, end, side : array, shape (m, 3)
        End positions [m] and a direction in the x-y plane.

    Returns
    -------
    lengths : array, shape (m,)
        [m]
    axes : array, shape (m, 3, 3)
        Rotation matrices.
    """
    chord = end - start
    length = np.linalg.norm(chord, axis=1)
    along = chord / length[:, None]
    normal = cross(along, side)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    return length, np.stack([along, cross(normal, along), normal], axis=2)


def _moving_axes(chord: Array, first: Array, second: Array) -> tuple[Array, Array, Array]:
    """Return chord lengths, moving axes and the side vectors of both ends seen in them."""
    length, axes = element_axes(np.zeros_like(chord), chord, 0.5 * (first + second))
    ends = np.stack([first, second], axis=2)
    return length, axes, np.swapaxes(axes, 1, 2) @ ends


def _spin_of_axes(length: Array, local_ends: Array) -> tuple[Array, Array]:
    """Return G^T of [2]_ (spin of the moving axes by nodal motion) and the ratio eta of [2]_."""
    first, second = local_ends[:, :, 0], local_ends[:, :, 1]
    mean = 0.5 * (first + second)
    eta = mean[:, 0] / mean[:, 1]
    inverse = 1.0 / length
    rate = np.zeros((len(length), 3, 12))
    rate[:, 0, 2] = eta * inverse
    rate[:, 0, 3] = 0.5 * first[:, 1] / mean[:, 1]
    rate[:, 0, 4] = -0.5 * first[:, 0] / mean[:, 1]
    rate[:, 0, 8] = -eta * inverse
    rate[:, 0, 9] = 0.5 * second[:, 1] / mean[:, 1]
    rate[:, 0, 10] = -0.5 * second[:, 0] / mean[:, 1]
    rate[:, 1, 2] = inverse
    rate[:, 1, 8] = -inverse
    rate[:, 2, 1] = -inverse
    rate[:, 2, 7] = inverse
    return rate, eta


def _local_response(beams: Beams, length: Array, stretch: Array, turn: Array) -> tuple[Array, Array]:
    """Return forces (axial, six end moments) and stiffness of the small-deformation beam in its own axes.

    The mean strain includes the bowing (2 a^2 - a b + 2 b^2)/30 of a cubic shape with end slopes a and b,
    which gives the usual geometric stiffness of a beam-column inside the element.
    """
    count = len(length)
    slope = np.zeros((count, 7))
    slope[:, 0] = 1.0
    bow = np.zeros((count, 7, 7))
    for near, far in ((2, 5), (3, 6)):
        bow[:, near, near] = bow[:, far, far] = length * (4.0 / 30.0)
        bow[:, near, far] = bow[:, far, near] = length * (-1.0 / 30.0)
    slope[:, 1:] = (bow[:, 1:, 1:] @ turn[:, :, None])[:, :, 0]
    shortening = 0.5 * np.sum(slope[:, 1:] * turn, axis=1)
    axial_force = beams.axial * (stretch + shortening) / length
    stiffness = np.zeros((count, 7, 7))
    twist = beams.torsion / length
    stiffness[:, 1, 1] = stiffness[:, 4, 4] = twist
    stiffness[:, 1, 4] = stiffness[:, 4, 1] = -twist
    for near, far, rigidity in ((2, 5, beams.bending_y), (3, 6, beams.bending_z)):
        stiffness[:, near, near] = stiffness[:, far, far] = 4.0 * rigidity / length
        stiffness[:, near, far] = stiffness[:, far, near] = 2.0 * rigidity / length
    force = axial_force[:, None] * slope
    force[:, 1:] += (stiffness[:, 1:, 1:] @ turn[:, :, None])[:, :, 0]
    stiffness += axial_force[:, None, None] * bow
    stiffness += (beams.axial / length)[:, None, None] * slope[:, :, None] * slope[:, None, :]
    return force, stiffness


def _to_spins(force: Array, stiffness: Array, turn: Array) -> tuple[Array, Array]:
    """Return local forces and stiffness conjugate to spins instead of rotation vectors."""
    maps = [spin_to_vector_rate(turn[:, :3]), spin_to_vector_rate(turn[:, 3:])]
    full = np.zeros((len(turn), 7, 7))
    full[:, 0, 0] = 1.0
    full[:, 1:4, 1:4], full[:, 4:, 4:] = maps
    changed = np.swapaxes(full, 1, 2) @ stiffness @ full
    for block, moments, rate in ((slice(1, 4), force[:, 1:4], maps[0]), (slice(4, 7), force[:, 4:], maps[1])):
        changed[:, block, block] += (
            pulled_back_derivative(turn[:, block.start - 1 : block.stop - 1], moments) @ rate
        )
    return (np.swapaxes(full, 1, 2) @ force[:, :, None])[:, :, 0], changed


def beam_state(beams: Beams, length: Array, axes: Array, position: Array, rotation: Array) -> BeamState:
    """Return end forces and tangent stiffness of all elements.

    Parameters
    ----------
    beams : Beams
        Elements and section stiffness.
    length : array, shape (m,)
        Unstressed lengths. [m]
    axes : array, shape (m, 3, 3)
        Axes before any load, from `element_axes`.
    position : array, shape (n, 3)
        Present node positions. [m]
    rotation : array, shape (n, 3, 3)
        Present node rotations.

    Returns
    -------
    BeamState
        Forces, tangent and axial force.
    """
    triads = rotation[beams.start] @ axes, rotation[beams.end] @ axes
    chord = position[beams.end] - position[beams.start]
    now, moving, local_ends = _moving_axes(chord, triads[0][:, :, 1], triads[1][:, :, 1])
    back = np.swapaxes(moving, 1, 2)
    turn = np.concatenate([rotation_vector(back @ triads[0]), rotation_vector(back @ triads[1])], axis=1)
    force, stiffness = _local_response(beams, length, now - length, turn)
    axial_force = force[:, 0].copy()
    force, stiffness = _to_spins(force, stiffness, turn)
    spin_rate, eta = _spin_of_axes(now, local_ends)
    motion = _local_motion(spin_rate)
    local_force = (np.swapaxes(motion, 1, 2) @ force[:, :, None])[:, :, 0]
    tangent = np.swapaxes(motion, 1, 2) @ stiffness @ motion
    tangent += _geometric(now, spin_rate, eta, force, local_force)
    return BeamState(*_to_global(moving, local_force, tangent), axial_force)


def _local_motion(spin_rate: Array) -> Array:
    """Return the map from nodal motion in the moving axes to stretch and end spins relative to the axes."""
    motion = np.zeros((len(spin_rate), 7, 12))
    motion[:, 0, 0], motion[:, 0, 6] = -1.0, 1.0
    motion[:, 1:4], motion[:, 4:] = -spin_rate, -spin_rate
    for axis in range(3):
        motion[:, 1 + axis, 3 + axis] += 1.0
        motion[:, 4 + axis, 9 + axis] += 1.0
    return motion


def _geometric(length: Array, spin_rate: Array, eta: Array, force: Array, local_force: Array) -> Array:
    """Return the part of the tangent that comes from turning the moving axes under load ([2]_)."""
    axial = force[:, 0]
    geometric = np.zeros((len(length), 12, 12))
    for axis in (1, 2):
        share = axial / length
        geometric[:, axis, axis] = geometric[:, 6 + axis, 6 + axis] = share
        geometric[:, axis, 6 + axis] = geometric[:, 6 + axis, axis] = -share
    moment_part = local_force.copy()
    moment_part[:, 0] += axial
    moment_part[:, 6] -= axial
    geometric -= skew(moment_part.reshape(-1, 4, 3)).reshape(-1, 12, 3) @ spin_rate
    total = force[:, 1:4] + force[:, 4:7]
    across = np.zeros((len(length), 12))
    across[:, 1] = -total[:, 2]
    across[:, 2] = eta * total[:, 0] + total[:, 1]
    across[:, 7:9] = -across[:, 1:3]
    across /= (length * length)[:, None]
    geometric[:, :, 6] += across
    geometric[:, :, 0] -= across
    return geometric


def _to_global(moving: Array, local_force: Array, tangent: Array) -> tuple[Array, Array]:
    """Return forces and tangent turned from the moving axes into the global ones."""
    count = len(moving)
    force = np.einsum("mij,mkj->mki", moving, local_force.reshape(count, 4, 3)).reshape(count, 12)
    big = np.zeros((count, 12, 12))
    for block in range(4):
        part = slice(3 * block, 3 * block + 3)
        big[:, part, part] = moving
    return force, big @ tangent @ np.swapaxes(big, 1, 2)
