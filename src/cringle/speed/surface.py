"""What a smooth bottom is worth: the same boat with a rough one, wind by wind, with intervals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike

from cringle.physics.water_assumptions import WaterAssumptions, water_assumption_rows
from cringle.speed.ensemble import Array, Interval, interval, over_members
from cringle.speed.ensemble_targets import quick_targets_of
from cringle.speed.model import SpeedModel
from cringle.speed.techniques import seconds_per_mile

Part = Literal["hull", "keel"]

ROUGH_FIELD: Final[dict[Part, str]] = {"hull": "roughness", "keel": "profile_drag_factor"}
"""Part to the assumed coefficient whose upper end is a rough or fouled surface."""


@dataclass(frozen=True)
class SurfaceCost:
    """What a rough surface costs up the wind: seconds a mile made good, with the 90 % interval."""

    part: Part
    wind_kn: Array
    s_per_mile: Array
    s_per_mile_90: Interval


def surface_cost(
    model: SpeedModel, boats: Sequence[SpeedModel], wind_kn: ArrayLike, *, part: Part
) -> SurfaceCost:
    """Return what a rough surface costs against a faired one, up the wind.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    boats : sequence of SpeedModel
        Members of the ensemble.
    wind_kn : array, shape (w,)
        True winds at 10 m.
    part : str
        ``hull`` for the whole bottom, ``keel`` for keel, rudder and bulb.

    Notes
    -----
    Rough is the upper end of the assumed coefficient, smooth its best value, everything else as the member
    has it; each at its own best angle and heel. This is what the whole way from rough to faired is worth, not
    what an hour of work brings.
    """
    winds = np.atleast_1d(np.asarray(wind_kn, dtype=np.float64))
    row = next(one for one in water_assumption_rows() if one.name == ROUGH_FIELD[part])

    def ask(boat: SpeedModel) -> Array:
        smooth, rough = (_made_good(boat, winds, part, value) for value in (row.value, row.high))
        return seconds_per_mile(rough, smooth)

    best = ask(model)
    return SurfaceCost(part, winds, best, interval(best, best, over_members(boats, ask)))


def _made_good(boat: SpeedModel, winds: Array, part: Part, value: float) -> Array:
    water: WaterAssumptions = replace(boat.around.water, **{ROUGH_FIELD[part]: value})
    changed = boat.with_around(replace(boat.around, water=water))
    return quick_targets_of(changed, winds, (changed.upwind,))[0].vmg_kn
