"""Yaw balance: which way the boat wants to turn, the rudder angle that holds it, and the load on the helm.

Indicative only. Centres of effort and of lateral resistance are estimates that move with trim and speed; use
the result to compare two trims of one boat, never as a number to steer to.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from cringle.constants import SALT_WATER_DENSITY_KG_PER_M3
from cringle.errors import InputError
from cringle.physics.assumptions import AirAssumptions, default_air_assumptions
from cringle.physics.wind import Quantity

RUDDER_STALL = np.radians(14.0)
"""Incidence at which a low-aspect rudder stalls [rad]. Common practice, no source."""


@dataclass(frozen=True)
class YawGeometry:
    """Where the water holds the boat. x forward of the after end of the waterline, as everywhere.

    Parameters
    ----------
    lateral_centre_forward : float
        x of the centre of lateral resistance of keel and hull. [m]
    lateral_centre_depth : float
        Its depth below the waterline. [m]
    rudder_forward : float
        x of the rudder's quarter chord, abaft the lateral centre. [m]
    rudder_area : float
        One side of the blade. [m2]
    rudder_lift_slope : float
        Lift coefficient per radian of incidence. [1/rad]
    stock_to_pressure : float
        From the axis of the stock aft to the centre of pressure; 0 for a fully balanced blade. [m]
    tiller_length : float
        From the stock to the hand. [m]
    hull_volume : float
        Volume of the canoe body. [m3]
    downwash_share : float
        Share of the leeway that the keel's downwash takes from the rudder's incidence. [1]
    water_density : float
        [kg/m3]
    """

    lateral_centre_forward: float
    lateral_centre_depth: float
    rudder_forward: float
    rudder_area: float
    rudder_lift_slope: float
    stock_to_pressure: float
    tiller_length: float
    hull_volume: float
    downwash_share: float = 0.5
    water_density: float = SALT_WATER_DENSITY_KG_PER_M3

    def __post_init__(self) -> None:
        for name in ("rudder_area", "rudder_lift_slope", "tiller_length"):
            if not getattr(self, name) > 0.0:
                raise InputError(
                    f"{name}: found {getattr(self, name)}, accepted more than 0",
                    next_step="measure the rudder and the tiller, in metres",
                )
        if not self.rudder_forward < self.lateral_centre_forward:
            raise InputError(
                f"rudder_forward: found {self.rudder_forward}, accepted less than lateral_centre_forward "
                f"{self.lateral_centre_forward}",
                next_step="x counts forward of the after end of the waterline; the rudder has the smaller x",
            )


@dataclass(frozen=True)
class AirLoad:
    """The forces of sails and windage together.

    Parameters
    ----------
    drive, side : float or array
        Forward, and horizontally to leeward. [N]
    centre_forward, centre_height : float or array
        Where they act, boat upright: x, and height above the waterline. [m]
    """

    drive: Quantity
    side: Quantity
    centre_forward: Quantity
    centre_height: Quantity


class YawBalance(NamedTuple):
    """Indicative: turning moment, rudder angle, pull at the tiller; positive is weather helm.

    `turning_moment` [N m] turns the bow to windward; `rudder_angle` [rad] has the trailing edge to leeward
    (tiller to windward); `helm_load` [N] is what the hand pulls to windward; `stalled` where the blade
    cannot give the force.
    """

    turning_moment: Quantity
    rudder_angle: Quantity
    helm_load: Quantity
    stalled: Quantity


def turning_moment(
    geometry: YawGeometry,
    air: AirLoad,
    *,
    heel: Quantity,
    leeway: Quantity,
    boat_speed: Quantity,
    assumptions: AirAssumptions | None = None,
) -> Quantity:
    """Return the moment that turns the bow to windward with the rudder idle [N m].

    Parameters
    ----------
    geometry : YawGeometry
        The underwater side.
    air : AirLoad
        The wind's side.
    heel, leeway : float or array
        Both positive to leeward. [rad]
    boat_speed : float or array
        Through the water. [m/s]
    assumptions : AirAssumptions, optional
        Values to use instead of the table's.

    Notes
    -----
    Three parts: side force times the lead, -Y (x_effort - x_lateral); drive on a heeled mast, X (z + d) sin
    heel, the one that grows with heel; and the ideal-fluid moment of a hull moving at an angle, k rho volume
    V^2 sin(leeway) cos(leeway) (Munk, NACA report 184, 1924), of which a real hull in a free surface shows
    the assumed share k.
    """
    known = assumptions or default_air_assumptions()
    lead = air.centre_forward - geometry.lateral_centre_forward
    heeled = air.drive * (air.centre_height + geometry.lateral_centre_depth) * np.sin(heel)
    apparent_mass = geometry.water_density * geometry.hull_volume * np.square(boat_speed)
    hull = known.hull_yaw_factor * apparent_mass * np.sin(leeway) * np.cos(leeway)
    return -air.side * lead + heeled + hull


def rudder_force(geometry: YawGeometry, moment: Quantity) -> Quantity:
    """Return the force to windward that the rudder needs to hold a turning moment [N]."""
    return moment / (geometry.lateral_centre_forward - geometry.rudder_forward)


def rudder_load_factor(keel_draft: float, rudder_draft: float) -> float:
    """Return what a load on the rudder costs: induced drag times dynamic pressure over force squared [1/m2].

    Parameters
    ----------
    keel_draft, rudder_draft : float
        Effective drafts, the keel's the larger. [m]

    Notes
    -----
    ``(1/Tr^2 - 1/Tk^2) / pi``. The drag that two lifting surfaces induce does not depend on how far one
    stands behind the other (Munk's stagger theorem), and a keel loaded elliptically has the same downwash all
    along its draft. So side force F with the part Fr on the rudder induces
    ``[F^2/Tk^2 + Fr^2 (1/Tr^2 - 1/Tk^2)] / (pi q)``: whatever the helm asks of the rudder, to either side,
    is a loss on top of what the keel would have cost alone.

    References
    ----------
    .. [1] M.M. Munk, "The minimum induced drag of aerofoils", NACA Report 121, 1921.
    """
    return (1.0 / rudder_draft**2 - 1.0 / keel_draft**2) / np.pi


def yaw_balance(
    geometry: YawGeometry,
    air: AirLoad,
    *,
    heel: Quantity,
    leeway: Quantity,
    boat_speed: Quantity,
    assumptions: AirAssumptions | None = None,
) -> YawBalance:
    """Return the rudder angle that holds the boat straight, and the load on the helm. Indicative.

    Parameters
    ----------
    geometry, air, heel, leeway, boat_speed, assumptions
        As in `turning_moment`.

    Returns
    -------
    YawBalance
        NaN rudder angle where the boat does not move.

    Notes
    -----
    Force F = moment / (x_lateral - x_rudder); incidence F / (rho V^2 A a / 2); the blade already stands at
    the leeway less the keel's downwash, the rest is rudder angle. Helm load = F times the distance from
    stock to centre of pressure over the tiller's length. Leaves out: the change of the keel's own force,
    friction, the wake.
    """
    moment = turning_moment(
        geometry, air, heel=heel, leeway=leeway, boat_speed=boat_speed, assumptions=assumptions
    )
    force = rudder_force(geometry, moment)
    moving = np.where(np.asarray(boat_speed) > 0.0, boat_speed, np.nan)
    per_radian = 0.5 * geometry.water_density * moving**2 * geometry.rudder_area * geometry.rudder_lift_slope
    incidence = force / per_radian
    angle = incidence - leeway * (1.0 - geometry.downwash_share)
    load = force * geometry.stock_to_pressure / geometry.tiller_length
    return YawBalance(moment, angle[()], load, (np.abs(incidence) > RUDDER_STALL)[()])
