"""Thrust less drag at a trial speed, with the sails depowered and the people placed so that moments agree.

SI units and radians throughout; winds are at the height of the sails.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.constants import AIR_DENSITY_KG_PER_M3
from cringle.physics.arrays import smooth_step
from cringle.physics.leeway import largest_side_force
from cringle.physics.waves import SeaState, wave_resistance
from cringle.speed.air_side import AirSide, AirTerms, air_terms, settle
from cringle.speed.model import SEA_HEIGHT_M, SpeedModel

Array = NDArray[np.float64]

WAVES_FULL_AT_FROUDE = 0.15
"""The added resistance in waves is given without regard to speed, so it would hold a drifting boat back for
ever; it rises smoothly from rest to its full value here (departure from the source, judgement)."""

LEAST_SPEED = 1e-3
"""Trial speeds start here [m/s]; induced drag at rest is infinite."""


class WaterSide(NamedTuple):
    """What the water does at trial speeds and heels.

    `drag` [N] has everything but the induced drag, which is `induced` [1/N] times the side force squared;
    `most` and `least` are the righting moments [N m] with the people at full hike and to leeward; `holds` is
    the largest side force keel and rudder can make [N].
    """

    drag: Array
    induced: Array
    most: Array
    least: Array
    holds: Array


class Balance(NamedTuple):
    """Forces at trial speeds. All in N and N m, of the broadcast shape; `power` as in `settle`."""

    surplus: Array
    drive: Array
    side: Array
    moment: Array
    excess: Array
    power: Array


def water_side(model: SpeedModel, speed: Array, *, angle: Array, heel: Array) -> WaterSide:
    """Return the water's part of the balance.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    speed, angle, heel : array
        Through the water [m/s], true wind angle [rad], heel [rad]; they broadcast.
    """
    body, fluid = model.curves.body, model.around.fluid
    draft = model.around.water.effective_draft_share * body.appendages.draft * np.cos(heel)
    moving = np.maximum(speed, LEAST_SPEED)
    sea = SeaState(SEA_HEIGHT_M[model.around.sea], model.around.water.wave_factor)
    waves = wave_resistance(body.hull, fluid, sea, wave_angle=angle)
    fade = smooth_step(speed, 0.0, WAVES_FULL_AT_FROUDE * model.froude_speed)
    return WaterSide(
        model.curves.drag(speed, heel) + waves * fade,
        1.0 / (0.5 * math.pi * fluid.density * np.square(draft * moving)),
        model.most_moment(heel),
        model.least_moment(heel),
        largest_side_force(model.plane, fluid, moving, heel),
    )


def balance(air: AirSide, terms: AirTerms, water: WaterSide, *, wind: Array, steps: int) -> Balance:
    """Return what is left of the thrust at trial speeds.

    Parameters
    ----------
    air : AirSide
        Sails and windage.
    terms : AirTerms
        At the ratios of the trial speeds to the wind.
    water : WaterSide
        At the trial speeds.
    wind : array
        True wind speed at the height of the sails. [m/s]
    steps : int
        Of the power, see `settle`.
    """
    pressure = (0.5 * AIR_DENSITY_KG_PER_M3 * air.curves.sails.area) * np.square(wind)
    settled = settle(air, terms, water.most / pressure, steps=steps)
    drive, side = pressure * settled.drive, pressure * settled.side
    surplus = drive - water.drag - water.induced * side * side
    return Balance(surplus, drive, side, pressure * settled.moment, pressure * settled.excess, settled.power)


def balance_at(
    model: SpeedModel, air: AirSide, speed: Array, *, wind: Array, angle: Array, heel: Array
) -> tuple[Balance, WaterSide, AirTerms]:
    """Return the balance at trial speeds from scratch, moments closed to all digits."""
    water = water_side(model, speed, angle=angle, heel=heel)
    terms = air_terms(air, speed / wind, angle, heel)
    return balance(air, terms, water, wind=wind, steps=EXACT_STEPS), water, terms


EXACT_STEPS = 14
"""Steps of the search for the power that close the moments to rounding."""
