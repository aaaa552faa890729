"""What the helm costs: the load that the yaw balance puts on the rudder, as induced drag.

SI units and radians. Upwind alone: with a kite the load is a few newtons of a drag of several hundred.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.physics.foils import effective_draft
from cringle.physics.leeway import side_force_slope, zero_force_leeway
from cringle.physics.yaw import YawGeometry, rudder_force, rudder_load_factor
from cringle.speed.model import SpeedModel

Array = NDArray[np.float64]


class HelmSide(NamedTuple):
    """What the yaw balance asks of the boat and of heel alone.

    Sine and cosine of heel; leeway per side force times speed squared [rad m2/(N s2)] and without side force
    [rad]; the hull's own turning moment over speed squared at unit ``sin cos`` of leeway [N s2/m];
    the cost of a rudder force, drag times speed squared over force squared [m2/(N s2)].
    """

    geometry: YawGeometry
    sine: Array
    cosine: Array
    leeway_per_force: Array
    idle_leeway: Array
    hull: float
    cost: Array


class AirPull(NamedTuple):
    """Sails and windage: drive and side force square to the mast [N], heeling moment, place fore and aft.

    The moment is about the side force of the water [N m]; the place is that of the sails, forward of the
    after end of the waterline [m].
    """

    drive: Array
    side: Array
    moment: Array
    forward: Array


def helm_side(model: SpeedModel, heel: Array) -> HelmSide:
    """Return what the yaw balance asks of heel [rad], once for many trial speeds."""
    fluid, plane = model.around.fluid, model.plane
    share = model.around.water.effective_draft_share
    upright = (
        float(effective_draft(one, 0.0, share=share))
        for one in (plane.appendages.draft, plane.appendages.rudder.draft)
    )
    half = 0.5 * fluid.density
    return HelmSide(
        model.yaw,
        np.sin(heel),
        np.cos(heel),
        1.0 / (half * side_force_slope(plane, heel)),
        zero_force_leeway(plane, heel),
        model.around.air.hull_yaw_factor * model.yaw.water_density * model.yaw.hull_volume,
        rudder_load_factor(*upright) / (half * np.square(np.cos(heel))),
    )


def helm_drag(helm: HelmSide, pull: AirPull, *, speed_squared: Array) -> Array:
    """Return the induced drag of the rudder's load, in N.

    Parameters
    ----------
    helm : HelmSide
        At the heels.
    pull : AirPull
        Of sails and windage.
    speed_squared : array
        Through the water. [m2/s2]

    Notes
    -----
    The turning moment is that of `physics.yaw.turning_moment` with the heeling arm for the height of the
    drive: side force times lead, drive on a heeled mast, hull at an angle. What it asks of the rudder costs
    `physics.yaw.rudder_load_factor`.
    """
    leeway = pull.side * helm.leeway_per_force / speed_squared + helm.idle_leeway
    lead = pull.forward - helm.geometry.lateral_centre_forward
    arm = pull.moment / np.maximum(pull.side, 1e-9)
    hull = 0.5 * helm.hull * speed_squared * np.sin(2.0 * leeway)
    moment = pull.drive * arm * helm.sine - pull.side * helm.cosine * lead + hull
    force = np.asarray(rudder_force(helm.geometry, moment))
    return np.asarray(helm.cost * np.square(force) / speed_squared)
