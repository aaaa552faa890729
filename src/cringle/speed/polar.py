"""The polar: for each wind and angle the speed at the best heel, by a sweep of heel that misses no branch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError
from cringle.physics.downwind import wing_share
from cringle.physics.sails import Arrangement
from cringle.speed.cases import Case
from cringle.speed.equilibrium import Cells, Status, check_grid, polished, solve
from cringle.speed.model import SpeedModel
from cringle.speed.scan import Scan, scan
from cringle.units import degrees_to_radians, knots_to_metres_per_second

Array = NDArray[np.float64]

HEEL_STEP_DEG = 0.5
"""Step of the sweep of heel."""

LEAST_WING = 0.5
"""Share of the wing's own coefficients from which a kite to windward counts as a wing."""

LARGEST_GRID = 200_000
"""Cells of wind and angle in one call; more is most likely a mistake in a step."""

BRACKET = 0.05
"""Half width of the bracket that is polished, around a scanned speed [m/s]."""


@dataclass(frozen=True)
class Polar:
    """Speeds of one case over a grid.

    Parameters
    ----------
    case : Case
        The sails.
    wind_kn, angle_deg : array, shapes (w,) and (a,)
        The grid.
    cells : Cells, shape (w, a)
        At the best heel, on the highest branch that counts as the technique.
    lower : Cells, shape (w, a)
        The branch below it, at its own best heel, where the hump leaves two stable speeds.
    """

    case: Case
    wind_kn: Array
    angle_deg: Array
    cells: Cells
    lower: Cells

    @property
    def not_converged(self) -> tuple[tuple[float, float], ...]:
        """Wind [kn] and angle [deg] of every cell in which the solver failed, to be listed."""
        rows, columns = np.nonzero(self.cells.status == Status.NOT_CONVERGED)
        return tuple(
            (float(self.wind_kn[row]), float(self.angle_deg[column]))
            for row, column in zip(rows, columns, strict=True)
        )

    def speed_at(self, wind_kn: ArrayLike, angle_deg: ArrayLike) -> Array:
        """Return the speed [kn] between the points of the grid, by straight lines; NaN outside or unknown."""
        wind, angle = np.asarray(wind_kn, float), np.abs(np.asarray(angle_deg, float))
        row, down = _between(self.wind_kn, wind)
        column, across = _between(self.angle_deg, angle)
        grid = self.cells.boat_speed_kn
        above = grid[row, column] * (1 - across) + grid[row, column + 1] * across
        below = grid[row + 1, column] * (1 - across) + grid[row + 1, column + 1] * across
        return np.asarray(above * (1 - down) + below * down)


def _between(axis: Array, value: Array) -> tuple[NDArray[np.intp], Array]:
    place = np.clip(np.searchsorted(axis, value, side="right") - 1, 0, axis.size - 2)
    part = (value - axis[place]) / (axis[place + 1] - axis[place])
    return place, np.where((part >= -1e-9) & (part <= 1.0 + 1e-9), part, np.nan)


def heels_of(case: Case, step_deg: float = HEEL_STEP_DEG) -> Array:
    """Return the heels swept for a case, both bounds among them."""
    if not step_deg > 0.0:
        raise InputError(f"heel step: found {step_deg:g} deg", next_step="give a step above 0, such as 0.5")
    count = int(np.ceil((case.heel_high_deg - case.heel_low_deg) / step_deg - 1e-9)) + 1
    return np.linspace(case.heel_low_deg, case.heel_high_deg, max(count, 1))


def polar(
    model: SpeedModel,
    wind_kn: ArrayLike,
    angle_deg: ArrayLike,
    *,
    case: Case,
    heel_deg: ArrayLike | None = None,
) -> Polar:
    """Return the polar of one way of sailing.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    wind_kn, angle_deg : array, shapes (w,) and (a,)
        True winds at 10 m, and angles between the course and the wind, each rising.
    case : Case
        The sails.
    heel_deg : float or array, optional
        Heels to choose among instead of the case's own range every half degree.

    Returns
    -------
    Polar
        At each wind and angle the heel with the highest speed among those at which everything balances.

    Raises
    ------
    InputError, OutOfRangeError
        A wind or angle is not one, an axis does not rise, or the grid is too large.
    """
    winds, angles = axes_of(wind_kn, angle_deg)
    heels = heels_of(case) if heel_deg is None else np.atleast_1d(np.asarray(heel_deg, dtype=np.float64))
    axes = (winds, angles, heels)
    found = _scanned(model, case, axes)
    chosen, below = (_choose(model, case, axes, found, lower_only=lower) for lower in (False, True))
    return Polar(case, winds, angles, cells_of(model, chosen), cells_of(model, below, lower_only=True))


def axes_of(wind_kn: ArrayLike, angle_deg: ArrayLike) -> tuple[Array, Array]:
    """Return winds and angles as rising axes.

    Raises
    ------
    InputError, OutOfRangeError
        An axis does not rise, a value is no wind or angle, or the grid is too large.
    """
    winds, angles = _axis("true wind speed", wind_kn), _axis("true wind angle", angle_deg)
    check_grid(winds, angles)
    if winds.size * angles.size > LARGEST_GRID:
        raise InputError(
            f"grid of {winds.size} x {angles.size} cells, accepted up to {LARGEST_GRID}",
            next_step="take fewer winds or a wider step of the angle",
        )
    return winds, angles


def _axis(name: str, values: ArrayLike) -> Array:
    axis = np.atleast_1d(np.asarray(values, dtype=np.float64))
    if axis.ndim != 1 or axis.size == 0 or np.any(np.diff(axis) <= 0.0):
        raise InputError(f"{name}: the grid must rise from value to value", next_step="sort it, no doubles")
    return axis


@dataclass(frozen=True)
class Chosen:
    """The best heel of every wind and angle, shape (w, a), before the speeds are polished.

    Parameters
    ----------
    case : Case
        The sails.
    wind_kn, angle_deg : array, shapes (w,) and (a,)
        The grid.
    speed : array
        To some 0.001 m/s, -1 where there is none. [m/s]
    heel_deg : array
        The best heel.
    over : bool array
        Where only the heeling moment is too large.
    """

    case: Case
    wind_kn: Array
    angle_deg: Array
    speed: Array
    heel_deg: Array
    over: NDArray[np.bool_]


def best_heels(model: SpeedModel, wind_kn: Array, angle_deg: Array, *, case: Case, heel_deg: Array) -> Chosen:
    """Return the best heel of every wind and angle at which the technique can be sailed.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    wind_kn, angle_deg : array, shapes (w,) and (a,)
        From `axes_of`.
    case : Case
        The sails.
    heel_deg : array, shape (h,)
        The heels to choose among.
    """
    axes = (wind_kn, angle_deg, heel_deg)
    return _choose(model, case, axes, _scanned(model, case, axes), lower_only=False)


def _scanned(model: SpeedModel, case: Case, axes: tuple[Array, Array, Array]) -> Scan:
    return scan(
        model,
        case,
        wind=knots_to_metres_per_second(axes[0]),
        angle=degrees_to_radians(axes[1]),
        heel=degrees_to_radians(axes[2]),
    )


def _choose(
    model: SpeedModel, case: Case, axes: tuple[Array, Array, Array], found: Scan, *, lower_only: bool
) -> Chosen:
    """Return the best heel of the technique, or of the branch below the highest, whatever the technique."""
    speed, usable, over = _candidates(found, lower_only=lower_only)
    if not lower_only:
        usable &= in_technique(model, case, axes, speed)
    score = np.where(usable, speed, -1.0)
    place = np.argmax(score, axis=-1)
    best = np.take_along_axis(score, place[..., None], -1)[..., 0]
    return Chosen(case, axes[0], axes[1], best, axes[2][place % axes[2].size], over)


def cells_of(model: SpeedModel, chosen: Chosen, *, lower_only: bool = False) -> Cells:
    """Return the chosen cells polished to all digits."""
    speed, there = chosen.speed.ravel(), chosen.speed.ravel() > 0.0
    wind, angle = (one.ravel() for one in np.meshgrid(chosen.wind_kn, chosen.angle_deg, indexing="ij"))
    bracket = (np.maximum(speed - BRACKET, 0.0), np.maximum(speed, 0.0) + BRACKET, there)
    cells = polished(model, chosen.case, wind, angle, chosen.heel_deg.ravel(), bracket=bracket)
    cells = _again(model, chosen.case, cells, lower_only=lower_only)
    over = chosen.over.ravel()
    cells.status[~there] = np.where(over[~there], Status.OVER_POWERED, Status.NOT_REACHABLE)
    return cells.reshaped(*chosen.speed.shape)


def _again(model: SpeedModel, case: Case, cells: Cells, *, lower_only: bool) -> Cells:
    """Return the cells with those whose scanned speed was too far off solved from scratch."""
    lost = np.flatnonzero(cells.status == Status.NOT_CONVERGED)
    if lost.size == 0:
        return cells
    wind, angle, heel = (one[lost] for one in (cells.wind_kn, cells.angle_deg, cells.heel_deg))
    found = solve(model, wind, angle, case=case, heel_deg=heel, lower=lower_only)
    for name, values in vars(cells).items():
        values[lost] = getattr(found, name)
    return cells


def _candidates(found: Scan, *, lower_only: bool) -> tuple[Array, NDArray[np.bool_], NDArray[np.bool_]]:
    """Return speeds of both branches side by side, where they hold, and where the moment is too large."""
    usable = found.held & found.heels
    over = np.any(np.isfinite(found.speed[0]) & ~found.held[0] & found.heels[0], axis=-1, keepdims=True)
    if lower_only:
        return found.speed[1], usable[1], over[..., 0] & False
    return (
        np.concatenate((found.speed[0], found.speed[1]), axis=-1),
        np.concatenate((usable[0], usable[1]), axis=-1),
        over[..., 0],
    )


def in_technique(
    model: SpeedModel, case: Case, axes: tuple[Array, Array, Array], speed: Array
) -> NDArray[np.bool_]:
    """Return where speeds [m/s], shape (w, a, k h), count as the technique of a case.

    Notes
    -----
    Its range of Froude number and of true wind angle; and a wing is one only where the kite to windward
    works at least half, so that the sail set is not called a wing on a reach.
    """
    winds, angles, heels = axes
    froude = speed / model.froude_speed
    inside = (froude >= case.froude_low) & (froude < case.froude_high)
    inside &= (angles <= case.angle_high_deg)[None, :, None]
    if case.arrangement is Arrangement.WING:
        air = model.air(case)
        at_sails = knots_to_metres_per_second(np.maximum(winds, 1e-6))[:, None, None] * air.wind_ratio()
        turn = degrees_to_radians(angles)[None, :, None]
        cosine = np.cos(degrees_to_radians(np.tile(heels, speed.shape[-1] // heels.size)))
        apparent = np.arctan2(np.sin(turn) * cosine, np.cos(turn) + speed / at_sails)
        inside &= np.asarray(wing_share(apparent, model.around.air)) >= LEAST_WING
    return np.asarray(inside)


def grid_of(low: float, high: float, step: float) -> Array:
    """Return an axis from low to high, both among it."""
    return np.linspace(low, high, round((high - low) / step) + 1)


def polars(
    model: SpeedModel, wind_kn: ArrayLike, angle_deg: ArrayLike, *, cases: Sequence[Case] = ()
) -> tuple[Polar, ...]:
    """Return the polar of every case: all the model has when none is named."""
    chosen = tuple(cases) or (model.upwind, *model.run)
    return tuple(polar(model, wind_kn, angle_deg, case=one) for one in chosen)
