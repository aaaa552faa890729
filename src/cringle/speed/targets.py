"""Targets: for each wind the angle, heel and speed that make most good to windward or to leeward."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.physics.sails import Gear
from cringle.speed.cases import Case
from cringle.speed.equilibrium import Cells, Status, polished
from cringle.speed.model import SpeedModel
from cringle.speed.polar import BRACKET, Chosen, axes_of, best_heels, grid_of, heels_of
from cringle.units import degrees_to_radians, knots_to_metres_per_second

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
    return targets_in(
        model,
        searched(
            model,
            wind_kn,
            case=case.in_gear(gear),
            angle_step_deg=angle_step_deg,
            heel_step_deg=heel_step_deg,
        ),
    )


def search_angles(case: Case, step_deg: float) -> Array:
    """Return the angles among which the target of a case is looked for."""
    low, high = RUN_ANGLES_DEG if case.kite else UP_ANGLES_DEG
    return grid_of(low, min(high, case.angle_high_deg), step_deg)


def searched(
    model: SpeedModel, wind_kn: ArrayLike, *, case: Case, angle_step_deg: float, heel_step_deg: float
) -> Chosen:
    """Return the best heels over the angles among which targets of a case are looked for."""
    winds, angles = axes_of(wind_kn, search_angles(case, angle_step_deg))
    return best_heels(model, winds, angles, case=case, heel_deg=heels_of(case, heel_step_deg))


def targets_in(model: SpeedModel, grid: Chosen) -> Targets:
    """Return the targets inside a searched grid, refined between its angles and polished.

    Parameters
    ----------
    model : SpeedModel
        The boat of the grid.
    grid : Chosen
        Angles at most some 3 degrees apart.
    """
    made = np.abs(np.cos(degrees_to_radians(grid.angle_deg))) * grid.speed
    place = np.argmax(made, axis=1)
    rows = np.arange(place.size)
    speed, heel, angle = grid.speed[rows, place], grid.heel_deg[rows, place], grid.angle_deg[place]
    there = speed > 0.0
    moved = angle + _shift(grid, made, place)
    both = [
        polished(model, grid.case, grid.wind_kn, one, heel, bracket=(low, high, there))
        for one, low, high in (
            (angle, np.maximum(speed - BRACKET, 0.0), speed + BRACKET),
            (moved, np.maximum(speed - FAR, 0.0), speed + FAR),
        )
    ]
    better = both[1].converged & (np.abs(both[1].vmg_kn) > np.nan_to_num(np.abs(both[0].vmg_kn)))
    better &= _still(model, grid.case, both[1])
    cells = Cells(
        **{name: np.where(better, getattr(both[1], name), value) for name, value in vars(both[0]).items()}
    )
    over = np.any(grid.over, axis=1, keepdims=True)[:, 0]
    cells.status[~there] = np.where(over[~there], Status.OVER_POWERED, Status.NOT_REACHABLE)
    return Targets(grid.case, grid.wind_kn, cells, _at_bound(model, grid, cells))


FAR = 0.4
"""Half width of the bracket of speed between the angles of the search [m/s]."""


def _shift(grid: Chosen, made: Array, place: NDArray[np.intp]) -> Array:
    """Return how far from each optimum the top of the parabola through it and its neighbours lies [deg]."""
    if grid.angle_deg.size < 3:
        return np.zeros(place.size)
    rows, middle = np.arange(place.size), np.clip(place, 1, grid.angle_deg.size - 2)
    left, here, right = (made[rows, middle + shift] for shift in (-1, 0, 1))
    bend = left - 2.0 * here + right
    smooth = (np.minimum(left, right) > 0.9 * here) & (bend < 0.0) & (middle == place)
    shift = np.where(smooth, 0.5 * (left - right) / np.where(bend < 0.0, bend, -1.0), 0.0)
    return np.asarray(np.clip(shift, -0.5, 0.5) * (grid.angle_deg[1] - grid.angle_deg[0]))


def _froude(model: SpeedModel, cells: Cells) -> Array:
    return knots_to_metres_per_second(cells.boat_speed_kn) / model.froude_speed


def _still(model: SpeedModel, case: Case, cells: Cells) -> NDArray[np.bool_]:
    froude = _froude(model, cells)
    return np.asarray((froude >= case.froude_low) & (froude < case.froude_high))


def _at_bound(model: SpeedModel, grid: Chosen, cells: Cells) -> NDArray[np.bool_]:
    """Return where the optimum touches a bound of the technique."""
    case, froude, edge = grid.case, _froude(model, cells), 0.02
    speed = (froude > case.froude_high - edge) | ((froude < case.froude_low + edge) & (case.froude_low > 0.0))
    angle = (cells.angle_deg >= case.angle_high_deg - 1e-6) | (cells.angle_deg <= grid.angle_deg[0] + 1e-6)
    return np.asarray((speed | angle) & (cells.status == Status.CONVERGED))
