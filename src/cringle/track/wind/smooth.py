"""The wind's direction smoothed over time from courses on both sides: boards mirror each other about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import difference_deg
from cringle.track.wind.samples import Samples

Array = NDArray[np.float64]

UP_RANGE_DEG: Final = (22.0, 72.0)
RUN_RANGE_DEG: Final = (115.0, 180.0)
"""Angles to the wind that count as close-hauled, and as running [deg]."""

UP_NOISE_DEG: Final = 6.5
RUN_NOISE_DEG: Final = 9.0
"""How far a ten-second course strays from the angle usually sailed [deg]."""

DRIFT_DEG2_PER_S: Final = 4.0
BEND_DEG2_PER_S3: Final = 1e-4
"""How fast the wind's direction wanders [deg2/s], and how fast its rate of turning does [deg2/s3]. Set on
simulated races with seeds of their own: a swing of some minutes is followed, the helm's wander is not."""

SPREAD_POINTS: Final = 400
"""The standard deviation is worked out at about so many steps, and drawn on between them."""

PRIOR_SPREAD_DEG: Final = (4.0, 7.0)
"""How far the boat's usual angle, upwind and on the run, may be from the polar's [deg]."""

LEAST_WEIGHT: Final = 1e-6
"""Keeps the matrix sound where nothing was sailed."""

ROUNDS: Final = 6
HUBER: Final = 2.0


@dataclass(frozen=True)
class Smoothed:
    """Direction and its standard deviation at each sample [deg], and the angles usually sailed [deg]."""

    twd_deg: Array
    sd_deg: Array
    up_angle_deg: float
    run_angle_deg: float


def smooth_direction(
    samples: Samples, first_deg: Array, *, angles_deg: tuple[float | Array, float | Array]
) -> Smoothed:
    """Return the direction that best explains the courses on both sides.

    Parameters
    ----------
    samples : Samples
        Courses.
    first_deg : array, shape (k,)
        First guess at each sample.
    angles_deg : tuple of float or array, shape (k,)
        Angles to the wind expected upwind and on the run, for all samples or for each.

    Notes
    -----
    Least squares: on a beat the course is the wind's direction less or plus the expected angle and a habit of
    the boat, by side; the direction turns at a rate that itself wanders. Direction at every step and both
    habits are solved for together (a matrix of five diagonals bordered by two rows); sides and points of sail
    are then read again from the answer. Steps far off count less (Huber, Annals of Mathematical Statistics 35
    (1964), pp. 73-101). It is the fixed-interval smoother of Rauch, Tung and Striebel, AIAA Journal 3, 1965,
    written as one system.
    """
    wind = np.unwrap(first_deg, period=360.0)
    expected = np.column_stack([np.broadcast_to(one, first_deg.shape) for one in angles_deg])
    habit = np.zeros(2)
    for _ in range(ROUNDS):
        read = _read(samples, wind)
        wind, habit, parts = _solve(samples, read, wind, (expected, habit))
    spread = _spread(*parts)
    up, run = (float(np.median(expected[:, place]) + habit[place]) for place in (0, 1))
    return Smoothed(np.mod(wind, 360.0), spread, up, run)


def _read(samples: Samples, wind: Array) -> tuple[Array, NDArray[np.bool_], NDArray[np.bool_]]:
    """Return the side of the wind at each sample, and whether she is on a beat or on a run."""
    angle = difference_deg(wind, np.nan_to_num(samples.course_deg))
    size, use = np.abs(angle), samples.sailing & np.isfinite(samples.course_deg)
    up = use & (size >= UP_RANGE_DEG[0]) & (size <= UP_RANGE_DEG[1])
    run = use & (size >= RUN_RANGE_DEG[0]) & (size <= RUN_RANGE_DEG[1])
    return np.sign(angle), up, run


_Parts = tuple[Array, Array, Array]
"""Matrix, what a habit does to each direction, and the covariance of the habits."""


def _solve(
    samples: Samples,
    read: tuple[Array, NDArray[np.bool_], NDArray[np.bool_]],
    wind: Array,
    angles: tuple[Array, Array],
) -> tuple[Array, Array, _Parts]:
    """Return direction and habits for given sides, and what their spread is made of."""
    side, up, run = read
    expected, habit = angles
    turned = side[:, None] * np.column_stack((up, run))
    noise = np.where(up, UP_NOISE_DEG, RUN_NOISE_DEG)
    mirrored = np.nan_to_num(samples.course_deg) + (turned * expected).sum(axis=1)
    off = difference_deg(mirrored + turned @ habit, wind)
    weight = np.where(up | run, 1.0, 0.0) / noise**2
    weight *= np.minimum(1.0, HUBER * noise / np.maximum(np.abs(off), 1e-9))
    target = wind + off - turned @ habit
    banded = _matrix(weight, samples.step_s)
    weighted = weight[:, None] * turned
    solved = _banded_solution(banded, np.column_stack((weight * target, weighted)))
    plain, inner = solved[:, 0], solved[:, 1:]
    precision = np.diag(1.0 / np.array(PRIOR_SPREAD_DEG) ** 2)
    covariance = np.linalg.inv(turned.T @ weighted - weighted.T @ inner + precision)
    found = covariance @ (weighted.T @ (plain - target))
    return plain + inner @ found, found, (banded, inner, covariance)


def _matrix(weight: Array, step_s: float) -> Array:
    """Return the normal matrix of the directions as five rows, the diagonal in the middle."""
    count = weight.size
    banded = np.zeros((5, count))
    banded[2] = weight + LEAST_WEIGHT
    for shape, stiff in (
        ((-1.0, 1.0), 1.0 / (DRIFT_DEG2_PER_S * step_s)),
        ((1.0, -2.0, 1.0), 1.0 / (BEND_DEG2_PER_S3 * step_s**3)),
    ):
        rows = max(count - len(shape) + 1, 0)
        for place, one in enumerate(shape):
            for beside, other in enumerate(shape):
                banded[2 + place - beside, beside : beside + rows] += one * other * stiff
    return banded


def _banded_solution(banded: Array, right: Array) -> Array:
    from scipy.linalg import solve_banded

    return np.asarray(solve_banded((2, 2), banded, right))


def _spread(banded: Array, inner: Array, covariance: Array) -> Array:
    """Return the standard deviation of each direction: the inverse of the matrix, and the habits."""
    count = banded.shape[1]
    chosen = np.unique(np.linspace(0, count - 1, min(count, SPREAD_POINTS)).round().astype(int))
    unit = np.zeros((count, chosen.size))
    unit[chosen, np.arange(chosen.size)] = 1.0
    variance = _banded_solution(banded, unit)[chosen, np.arange(chosen.size)]
    whole = np.interp(np.arange(count), chosen, variance)
    return np.asarray(np.sqrt(whole + np.einsum("ij,jk,ik->i", inner, covariance, inner)))
