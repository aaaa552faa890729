"""Thrust less drag at a trial speed, with the sails depowered and the people placed so that moments agree.

SI units and radians throughout; winds are at the height of the sails.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.constants import AIR_DENSITY_KG_PER_M3
from cringle.physics.arrays import smooth_step
from cringle.physics.leeway import largest_side_force
from cringle.physics.underwater import HeelFactors
from cringle.physics.waves import share_from_ahead
from cringle.speed.air_side import AirSide, AirTerms, air_terms, settle
from cringle.speed.helm import AirPull, HelmSide, helm_drag, helm_side
from cringle.speed.model import SpeedModel

Array = NDArray[np.float64]

WAVES_FULL_AT_FROUDE = 0.15
"""The added resistance in waves is given without regard to speed, so it would hold a drifting boat back for
ever; it rises smoothly from rest to its full value here (departure from the source, judgement)."""

CALM = 0.25
"""A true wind of less [m/s at 10 m], half a knot, is a calm: nothing is sailed in it."""

LEAST_SPEED = 1e-3
"""Trial speeds start here [m/s]; induced drag at rest is infinite."""


class WaterSide(NamedTuple):
    """What the water does at trial speeds and heels.

    `drag` [N] has everything but the induced drag, which is `induced` [1/N] times the side force squared;
    `pressure` is the square of the speed [m2/s2] and `helm` what the yaw balance asks of heel;
    `most` and `least` are the righting moments [N m] with the people at full hike and to leeward; `holds` is
    the largest side force keel and rudder can make [N].
    """

    drag: Array
    induced: Array
    most: Array
    least: Array
    holds: Array
    pressure: Array
    helm: HelmSide


class Balance(NamedTuple):
    """Forces at trial speeds. All in N and N m, of the broadcast shape; `power` as in `settle`."""

    surplus: Array
    drive: Array
    side: Array
    moment: Array
    excess: Array
    power: Array


class HeelSide(NamedTuple):
    """What depends on heel alone.

    Effective draft squared [m2], largest and least righting moment [N m], the largest side force at 1 m/s
    [N], what heel does to the drag, and to the yaw balance.
    """

    draft_squared: Array
    most: Array
    least: Array
    holds: Array
    factors: HeelFactors
    helm: HelmSide


def heel_side(model: SpeedModel, heel: Array) -> HeelSide:
    """Return what depends on heel [rad] alone, once for many trial speeds."""
    draft = model.around.water.effective_draft_share * model.curves.body.appendages.draft * np.cos(heel)
    return HeelSide(
        np.square(draft),
        model.most_moment(heel),
        model.least_moment(heel),
        largest_side_force(model.plane, model.around.fluid, 1.0, heel),
        model.curves.heel_factors(heel),
        helm_side(model, heel),
    )


def water_side(
    model: SpeedModel, speed: Array, *, angle: Array, heeled: HeelSide, drag: Array, waves: ArrayLike
) -> WaterSide:
    """Return the water's part of the balance.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    speed, angle : array
        Through the water [m/s], true wind angle [rad].
    heeled : HeelSide
        At the heels.
    drag : array
        Of the underwater body at these speeds and heels, without induced drag and waves. [N]
    waves : float or array
        Added resistance in head seas of the wind, from `SpeedModel.wave_drag`. [N]
    """
    fluid = model.around.fluid
    pressure = np.square(np.maximum(speed, LEAST_SPEED))
    met = np.asarray(waves) * share_from_ahead(angle)
    fade = smooth_step(speed, 0.0, WAVES_FULL_AT_FROUDE * model.froude_speed)
    return WaterSide(
        drag + met * fade,
        1.0 / ((0.5 * math.pi * fluid.density) * heeled.draft_squared * pressure),
        heeled.most,
        heeled.least,
        heeled.holds * pressure,
        pressure,
        heeled.helm,
    )


def sail_pressure(air: AirSide, wind: Array) -> Array:
    """Return the dynamic pressure of the true wind [m/s] times the sail area, in N."""
    return np.asarray((0.5 * AIR_DENSITY_KG_PER_M3 * air.curves.sails.area) * np.square(wind))


def balance(
    air: AirSide, terms: AirTerms, water: WaterSide, *, wind: Array, steps: int, signs_only: bool = False
) -> Balance:
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
    signs_only : bool
        Skip the depowering where no depowering leaves a surplus: there only the sign is right.
    """
    pressure = sail_pressure(air, wind)
    hopeless = None
    if signs_only:
        hopeless = pressure * terms.best_drive < water.drag
    settled = settle(
        air,
        terms,
        water.most / pressure,
        keel=water.induced * pressure,
        steps=steps,
        hopeless=hopeless,
    )
    drive, side, moment = (pressure * one for one in (settled.drive, settled.side, settled.moment))
    surplus = drive - water.drag - water.induced * side * side
    if air.curves.sails.kite is None:
        held = AirPull(drive, side, moment, terms.forward)
        surplus = surplus - helm_drag(water.helm, held, speed_squared=water.pressure)
    return Balance(surplus, drive, side, moment, pressure * settled.excess, settled.power)


class Cell(NamedTuple):
    """Cells with everything in them that trial speeds do not change; arrays of one shape."""

    wind: Array
    angle: Array
    heel: Array
    heeled: HeelSide


def cells_at(model: SpeedModel, wind: Array, angle: Array, heel: Array) -> Cell:
    """Return cells at true winds at the height of the sails [m/s], angles and heels [rad]."""
    return Cell(wind, angle, heel, heel_side(model, heel))


def balance_at(
    model: SpeedModel, air: AirSide, cell: Cell, speed: Array, *, steps: int
) -> tuple[Balance, WaterSide, AirTerms]:
    """Return the balance of cells at trial speeds [m/s] from scratch."""
    drag = model.curves.drag(speed, cell.heeled.factors)
    waves = model.wave_drag(cell.wind / air.wind_ratio())
    water = water_side(model, speed, angle=cell.angle, heeled=cell.heeled, drag=drag, waves=waves)
    terms = air_terms(air, speed / cell.wind, cell.angle, cell.heel)
    return balance(air, terms, water, wind=cell.wind, steps=steps), water, terms


EXACT_STEPS = 14
"""Steps of the search for the power that close the moments to rounding."""
