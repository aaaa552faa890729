"""The wind's direction smoothed over time from courses on both sides: boards mirror each other about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import difference_deg
from cringle.track.wind_samples import Samples

Array = NDArray[np.float64]

UP_RANGE_DEG: Final = (22.0, 72.0)
RUN_RANGE_DEG: Final = (115.0, 180.0)
"""Angles to the wind that count as close-hauled, and as running [deg]."""

UP_NOISE_DEG: Final = 5.0
RUN_NOISE_DEG: Final = 7.0
"""How far a ten-second course strays from the angle usually sailed [deg]."""

DRIFT_DEG2_PER_S: Final = 0.25
"""How fast the wind's direction wanders: variance gained in a second [deg2/s]."""

PRIOR_SPREAD_DEG: Final = (4.0, 7.0)
"""How far the boat's usual angle, upwind and on the run, may be from the polar's [deg]."""

ROUNDS: Final = 6
HUBER: Final = 2.0


@dataclass(frozen=True)
class Smoothed:
    """Direction and its standard deviation at each sample [deg], and the angles usually sailed [deg]."""

    twd_deg: Array
    sd_deg: Array
    up_angle_deg: float
    run_angle_deg: float


def smooth_direction(samples: Samples, first_deg: Array, *, angles_deg: tuple[float, float]) -> Smoothed:
    """Return the direction that best explains the courses on both sides.

    Parameters
    ----------
    samples : Samples
        Courses.
    first_deg : array, shape (k,)
        First guess at each sample.
    angles_deg : tuple of float
        Angles to the wind expected upwind and on the run.

    Notes
    -----
    Least squares: on a beat the course is the wind's direction less or plus the usual angle, by side, and the
    direction moves as a random walk. Direction at every step and both angles are solved for together (a
    tridiagonal system bordered by two rows); sides and points of sail are then read again from the answer.
    Steps far off count less (Huber, Annals of Mathematical Statistics 35, 1964, pp. 73-101). It is the
    fixed-interval smoother of Rauch, Tung and Striebel, AIAA Journal 3, 1965, written as one system.
    """
    wind = np.asarray(samples.course_deg + difference_deg(first_deg, samples.course_deg))
    wind = _bridged(wind, first_deg)
    angles = np.array(angles_deg)
    for _ in range(ROUNDS):
        side, up, run = _read(samples, wind)
        wind, angles, spread = _solve(samples, (side, up, run), wind, (np.array(angles_deg), angles))
    return Smoothed(np.mod(wind, 360.0), spread, float(angles[0]), float(angles[1]))


def _bridged(wind: Array, first_deg: Array) -> Array:
    """Return the first guess unwound, with unknown steps filled from their neighbours."""
    plain = np.unwrap(first_deg, period=360.0)
    return np.where(np.isfinite(wind), plain, plain)


def _read(samples: Samples, wind: Array) -> tuple[Array, NDArray[np.bool_], NDArray[np.bool_]]:
    """Return the side of the wind at each sample, and whether she is on a beat or on a run."""
    angle = difference_deg(wind, np.nan_to_num(samples.course_deg))
    size, use = np.abs(angle), samples.sailing & np.isfinite(samples.course_deg)
    up = use & (size >= UP_RANGE_DEG[0]) & (size <= UP_RANGE_DEG[1])
    run = use & (size >= RUN_RANGE_DEG[0]) & (size <= RUN_RANGE_DEG[1])
    return np.sign(angle), up, run


def _solve(
    samples: Samples,
    read: tuple[Array, NDArray[np.bool_], NDArray[np.bool_]],
    wind: Array,
    angles: tuple[Array, Array],
) -> tuple[Array, Array, Array]:
    """Return direction, usual angles and standard deviation for given sides."""
    side, up, run = read
    prior, usual = angles
    turned = side[:, None] * np.column_stack((up, run))
    noise = np.where(up, UP_NOISE_DEG, RUN_NOISE_DEG)
    off = difference_deg(np.nan_to_num(samples.course_deg) + turned @ usual, wind)
    weight = np.where(up | run, 1.0, 0.0) / noise**2
    weight *= np.minimum(1.0, HUBER * noise / np.maximum(np.abs(off), 1e-9))
    target = wind + off - turned @ usual
    stiff = 1.0 / (DRIFT_DEG2_PER_S * samples.step_s)
    banded = _matrix(weight, stiff)
    columns = np.column_stack((weight * target, weight[:, None] * turned))
    solved = _tridiagonal(banded, columns)
    inner = solved[:, 1:]
    precision = np.diag(1.0 / np.array(PRIOR_SPREAD_DEG) ** 2)
    weighted = weight[:, None] * turned
    normal = turned.T @ weighted - weighted.T @ inner + precision
    # the best direction is solved[:, 0] + inner @ angles; what is left over decides the angles
    right = precision @ prior - weighted.T @ target + weighted.T @ solved[:, 0]
    covariance = np.linalg.inv(normal)
    found = covariance @ right
    spread = np.sqrt(_inverse_diagonal(banded) + np.einsum("ij,jk,ik->i", inner, covariance, inner))
    return solved[:, 0] + inner @ found, found, spread


def _matrix(weight: Array, stiff: float) -> Array:
    """Return the tridiagonal matrix as three rows: above, on and below its diagonal."""
    count = weight.size
    diagonal = weight + stiff * np.where((np.arange(count) == 0) | (np.arange(count) == count - 1), 1.0, 2.0)
    diagonal = diagonal + 1e-6
    beside = np.full(count, -stiff)
    return np.vstack((np.concatenate(([0.0], beside[1:])), diagonal, np.concatenate((beside[1:], [0.0]))))


def _tridiagonal(banded: Array, right: Array) -> Array:
    from scipy.linalg import solve_banded

    return np.asarray(solve_banded((1, 1), banded, right))


def _inverse_diagonal(banded: Array) -> Array:
    """Return the diagonal of the inverse of a symmetric tridiagonal matrix.

    Notes
    -----
    By the sweeps of elimination from either end: 1 / (forward + backward - diagonal).
    Meurant, SIAM J. Matrix Analysis 13, 1992, pp. 707-728, section 2 (from memory).
    """
    diagonal, beside = banded[1].tolist(), banded[0].tolist()
    count = len(diagonal)
    forward, backward = [diagonal[0]] * count, [diagonal[-1]] * count
    for row in range(1, count):
        forward[row] = diagonal[row] - beside[row] ** 2 / forward[row - 1]
    for row in range(count - 2, -1, -1):
        backward[row] = diagonal[row] - beside[row + 1] ** 2 / backward[row + 1]
    return np.asarray(1.0 / (np.array(forward) + np.array(backward) - np.array(diagonal)))
