"""Shape-preserving interpolation of coefficient tables, exact and on a uniform fine grid.

A speed model reads sail coefficients millions of times. Searching a table and evaluating a cubic for each is
slow; on a uniform grid the place in the table is one multiplication, and a straight line between points 0.05
degrees apart differs from the cubic by less than the tables are known by a factor of a thousand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.physics.wind import Quantity

GRID_POINTS = 3601
"""Points of the uniform grid from 0 to pi: one every 0.05 degrees."""


def pchip_slopes(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the slope at every point of a monotone piecewise cubic.

    Parameters
    ----------
    x, y : array, shape (n,)
        Points, x rising, n of at least 3.

    Notes
    -----
    Inside: weighted harmonic mean of the two neighbouring secants, 0 where they differ in sign. Ends:
    one-sided three-point formula, limited so that the curve keeps its shape.

    References
    ----------
    .. [1] F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise cubic
    interpolants",
       SIAM J. Sci. Stat. Comput. 5, 1984, pp. 300-304, doi:10.1137/0905021.
    """
    if x.size < 3 or np.any(np.diff(x) <= 0.0):
        raise InputError(
            f"coefficient table: found {x.size} angles, accepted 3 or more, each larger than the one before",
            next_step="sort the rows by angle and remove doubles",
        )
    width, secant = np.diff(x), np.diff(y) / np.diff(x)
    left, right = secant[:-1], secant[1:]
    weight_left = 2.0 * width[1:] + width[:-1]
    weight_right = width[1:] + 2.0 * width[:-1]
    same = left * right > 0.0
    mixed = np.where(same, weight_left * right + weight_right * left, 1.0)
    inside = np.where(same, (weight_left + weight_right) * left * right / mixed, 0.0)
    first = _end_slope(width[0], width[1], secant[0], secant[1])
    last = _end_slope(width[-1], width[-2], secant[-1], secant[-2])
    return np.concatenate(([first], inside, [last]))


def _end_slope(near_width: float, far_width: float, near: float, far: float) -> float:
    slope = ((2.0 * near_width + far_width) * near - near_width * far) / (near_width + far_width)
    if slope * near <= 0.0:
        return 0.0
    if near * far < 0.0 and abs(slope) > 3.0 * abs(near):
        return 3.0 * near
    return float(slope)


def pchip(x: NDArray[np.float64], y: NDArray[np.float64], at: Quantity) -> Quantity:
    """Return a monotone piecewise cubic through the points (x, y), NaN outside their range.

    Parameters
    ----------
    x, y : array, shape (n,)
        Points, x rising.
    at : float or array
        Where to read.
    """
    slope = pchip_slopes(x, y)
    place = np.asarray(at, dtype=float)
    cell = np.clip(np.searchsorted(x, place, side="right") - 1, 0, x.size - 2)
    width = x[cell + 1] - x[cell]
    t = (place - x[cell]) / width
    rise = (y[cell + 1] - y[cell]) / width
    value = y[cell] + width * t * (
        slope[cell]
        + t
        * (
            (3.0 * rise - 2.0 * slope[cell] - slope[cell + 1])
            + t * (slope[cell] + slope[cell + 1] - 2.0 * rise)
        )
    )
    return np.where((place >= x[0]) & (place <= x[-1]), value, np.nan)[()]


def smooth_step(value: Quantity, low: float, high: float) -> Quantity:
    """Return 0 below `low`, 1 above `high`, and the smooth cubic 3 t^2 - 2 t^3 between them."""
    t = np.clip((np.asarray(value) - low) / (high - low), 0.0, 1.0)
    return (t * t * (3.0 - 2.0 * t))[()]


def linear_step(value: Quantity, low: float, high: float) -> Quantity:
    """Return 0 below `low`, 1 above `high`, and a straight line between them."""
    return np.clip((np.asarray(value) - low) / (high - low), 0.0, 1.0)[()]


@dataclass(frozen=True)
class UniformCurves:
    """Several curves over the apparent wind angle, tabulated on one uniform grid from 0 to pi.

    Parameters
    ----------
    values : array, shape (curves, points)
        One row per curve; the first column belongs to angle 0, the last to pi.
    """

    values: NDArray[np.float64]

    def at(self, angle: Quantity) -> tuple[NDArray[np.float64], ...]:
        """Return every curve at the angles given, either side alike; NaN beyond half a turn [rad]."""
        last = self.values.shape[1] - 1
        place = np.abs(angle) * (last / np.pi)
        with np.errstate(invalid="ignore"):
            cell = np.minimum(place, last - 1.0).astype(np.intp)
        part = np.where(place <= last * (1.0 + 1e-12), place - cell, np.nan)
        return tuple(self._line(row, cell, part) for row in self.values)

    @staticmethod
    def _line(
        row: NDArray[np.float64], cell: NDArray[np.intp], part: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        low = np.take(row, cell, mode="clip")
        high = np.take(row, cell + 1, mode="clip")
        return low + part * (high - low)


def grid_angles(points: int = GRID_POINTS) -> NDArray[np.float64]:
    """Return the angles of the uniform grid, 0 to pi [rad]."""
    return np.linspace(0.0, np.pi, points)
