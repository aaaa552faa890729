"""Targets: for each wind the angle, heel and speed that make most good to windward or to leeward."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.physics.sails import Gear
from cringle.speed.cases import Case
from cringle.speed.equilibrium import Cells, Status, solve
from cringle.speed.model import SpeedModel
from cringle.speed.polar import Polar, grid_of, heels_of, polar
from cringle.units import knots_to_metres_per_second

Array = NDArray[np.float64]

UP_ANGLES_DEG = (30.0, 70.0)
"""Angles searched upwind."""

RUN_ANGLES_DEG = (90.0, 180.0)
"""Angles searched on the run."""

ANGLE_STEP_DEG = 1.0
"""Step of the search; the optimum between the steps is refined."""


@dataclass(frozen=True)
class Targets:
    """Best speed made good of one case, wind by wind.

    Parameters
    ----------
    case : Case
        The sails.
    wind_kn : array, shape (w,)
        True wind at 10 m.
    cells : Cells, shape (w,)
        The optimum; its `status` says where there is none.
    at_bound : bool array, shape (w,)
        Whether the optimum lies on a bound of the technique (speed range, angle, heel), so that a little
        more would be better but counts as something else.
    """

    case: Case
    wind_kn: Array
    cells: Cells
    at_bound: NDArray[np.bool_]

    @property
    def made_good_kn(self) -> Array:
        """Speed made good up or down the wind, positive; NaN where there is no target."""
        return np.abs(self.cells.vmg_kn)


def targets(
    model: SpeedModel,
    wind_kn: ArrayLike,
    *,
    case: Case,
    gear: Gear = Gear.SETTLED,
    angle_step_deg: float = ANGLE_STEP_DEG,
    heel_step_deg: float = 0.5,
) -> Targets:
    """Return the targets of one way of sailing.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    wind_kn : float or array, shape (w,)
        True winds at 10 m, rising.
    case : Case
        `model.upwind` or one of `model.run`.
    gear : Gear
        ``settled``, or ``build`` with its own speed and angle.
    angle_step_deg, heel_step_deg : float
        Steps of the search. Wider ones are faster (an ensemble) and still see both branches.

    Returns
    -------
    Targets
        One for each wind.
    """
    grid = search_grid(
        model, wind_kn, case=case.in_gear(gear), angle_step_deg=angle_step_deg, heel_step_deg=heel_step_deg
    )
    return targets_of(model, grid)


def search_grid(
    model: SpeedModel, wind_kn: ArrayLike, *, case: Case, angle_step_deg: float, heel_step_deg: float
) -> Polar:
    """Return the polar over the angles among which targets of a case are looked for."""
    low, high = RUN_ANGLES_DEG if case.kite else UP_ANGLES_DEG
    angles = grid_of(low, min(high, case.angle_high_deg), angle_step_deg)
    return polar(model, wind_kn, angles, case=case, heel_deg=heels_of(case, heel_step_deg))


def targets_of(model: SpeedModel, grid: Polar) -> Targets:
    """Return the targets inside a polar whose angles are close enough, refined between them.

    Parameters
    ----------
    model : SpeedModel
        The boat of the polar.
    grid : Polar
        Angles at most some 3 degrees apart.
    """
    good = np.where(grid.cells.converged, np.abs(grid.cells.vmg_kn), -1.0)
    place = np.argmax(good, axis=1)
    rows = np.arange(grid.wind_kn.size)
    cells = grid.cells.at((rows, place))
    refined = _refined(model, grid, good, place, cells)
    return Targets(grid.case, grid.wind_kn, refined, _at_bound(model, grid, refined))


def _refined(model: SpeedModel, grid: Polar, good: Array, place: NDArray[np.intp], cells: Cells) -> Cells:
    """Return the cells moved to the top of the parabola through each optimum and its neighbours."""
    if grid.angle_deg.size < 3:
        return cells
    rows, middle = np.arange(place.size), np.clip(place, 1, grid.angle_deg.size - 2)
    left, here, right = (good[rows, middle + shift] for shift in (-1, 0, 1))
    bend = left - 2.0 * here + right
    smooth = (np.minimum(left, right) > 0.9 * here) & (bend < 0.0) & (middle == place)
    shift = np.where(smooth, 0.5 * (left - right) / np.where(bend < 0.0, bend, -1.0), 0.0)
    step = grid.angle_deg[1] - grid.angle_deg[0]
    moved = solve(
        model, cells.wind_kn, cells.angle_deg + np.clip(shift, -0.5, 0.5) * step, case=grid.case,
        heel_deg=cells.heel_deg,
    )  # fmt: skip
    froude = moved.boat_speed_kn / np.maximum(cells.boat_speed_kn, 1e-9)
    better = moved.converged & (np.abs(moved.vmg_kn) >= np.abs(cells.vmg_kn)) & (np.abs(froude - 1.0) < 0.1)
    better &= _still(model, grid.case, moved)
    return Cells(
        **{name: np.where(better, getattr(moved, name), value) for name, value in vars(cells).items()}
    )


def _froude(model: SpeedModel, cells: Cells) -> Array:
    return knots_to_metres_per_second(cells.boat_speed_kn) / model.froude_speed


def _still(model: SpeedModel, case: Case, cells: Cells) -> NDArray[np.bool_]:
    froude = _froude(model, cells)
    return np.asarray((froude >= case.froude_low) & (froude < case.froude_high))


def _at_bound(model: SpeedModel, grid: Polar, cells: Cells) -> NDArray[np.bool_]:
    """Return where the optimum touches a bound of the technique."""
    case, froude, edge = grid.case, _froude(model, cells), 0.02
    speed = (froude > case.froude_high - edge) | ((froude < case.froude_low + edge) & (case.froude_low > 0.0))
    angle = (cells.angle_deg >= case.angle_high_deg - 1e-6) | (cells.angle_deg <= grid.angle_deg[0] + 1e-6)
    return np.asarray((speed | angle) & (cells.status == Status.CONVERGED))
