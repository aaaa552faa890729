"""What to do in a puff upwind: feather, or ease and keep the angle."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from cringle.errors import NotConvergedError, OutOfRangeError
from cringle.speed.ensemble import Array
from cringle.speed.equilibrium import Cells, solve
from cringle.speed.model import SpeedModel
from cringle.speed.polar import grid_of
from cringle.speed.targets import targets
from cringle.speed.techniques import metres_per_minute

PUFF = 1.25
"""Wind of a puff over the mean wind."""

SLACK_DEG = 10.0
"""Sails trimmed for one angle have lost all their lift when the boat points so much higher; between them the
lift falls in proportion. Estimate (7 to 14): a thin sail's lift goes with its angle of attack."""

STEP_DEG = 0.5
"""Step of the angles at which feathering is tried."""


@dataclass(frozen=True)
class Puff:
    """Two answers to a puff that the boat cannot hold with the sails as they are.

    Parameters
    ----------
    wind_kn, puff_kn : float
        Mean wind, and wind of the puff.
    held : bool
        Whether the boat holds the puff as it is: nothing to do.
    feather_deg : float or None
        How much higher it must go so that it heels no more than in the mean wind; None where no angle does.
    feather_m_per_min, ease_m_per_min : float or None
        Made good to windward when feathering, and when easing at the old angle.
    """

    wind_kn: float
    puff_kn: float
    held: bool
    feather_deg: float | None
    feather_m_per_min: float | None
    ease_m_per_min: float | None

    @property
    def gain_m_per_min(self) -> float | None:
        """What feathering makes good more than easing."""
        if self.feather_m_per_min is None or self.ease_m_per_min is None:
            return None
        return self.feather_m_per_min - self.ease_m_per_min


def puff(model: SpeedModel, wind_kn: float, *, factor: float = PUFF) -> Puff:
    """Return what feathering and easing make good in a puff, heel kept at the target.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    wind_kn : float
        Mean wind for which the sails are set.
    factor : float
        Wind of the puff over the mean, 1 to 2.

    Raises
    ------
    OutOfRangeError
        The factor is not between 1 and 2.
    NotConvergedError
        There is no target in the mean wind.

    Notes
    -----
    Feathering leaves the sails as they are and points higher until they have lost as much lift as the
    puff has too much; the part that shakes adds `feather_drag` of the table of assumptions on the sail area.
    Easing keeps the angle and takes the power out of the sails. Both are steady states at that heel: a
    short puff ends before the boat gets there.
    """
    if not 1.0 <= factor <= 2.0:
        raise OutOfRangeError("puff over mean wind", factor, 1.0, 2.0, next_step="such as 1.25")
    cells = targets(model, wind_kn, case=model.upwind).cells
    if not cells.converged[0]:
        raise NotConvergedError(f"no target upwind in {wind_kn:g} kn", next_step="ask for another wind")
    mean = cells.at(0)
    turns = grid_of(0.0, SLACK_DEG, STEP_DEG)
    made, power = np.array([_shaking(model, mean, wind_kn * factor, turn) for turn in turns]).T
    enough = np.isfinite(made) & (power >= float(mean.power) * (1.0 - turns / SLACK_DEG) - 1e-3)
    place = int(np.argmax(enough)) if enough.any() else None
    return Puff(
        wind_kn,
        wind_kn * factor,
        place == 0,
        None if place is None else float(turns[place]),
        None if place is None else _known(made, place),
        _known(made, 0),
    )


def _shaking(model: SpeedModel, mean: Cells, wind_kn: float, higher_deg: float) -> tuple[float, float]:
    """Return what is made good [m/min] with a part of the sails shaking, and the power that can be held."""
    share = higher_deg / SLACK_DEG
    area = share * model.around.air.feather_drag * model.air(model.upwind).curves.sails.area
    blown = replace(model.windage, front_drag_area=model.windage.front_drag_area + area)
    boat = replace(model, windage=blown)
    angle, heel = float(mean.angle_deg) - higher_deg, float(mean.heel_deg)
    cell = solve(boat, wind_kn, angle, case=model.upwind, heel_deg=heel)
    return float(metres_per_minute(cell.vmg_kn)), float(cell.power)


def _known(made: Array, place: int) -> float | None:
    return float(made[place]) if np.isfinite(made[place]) else None
