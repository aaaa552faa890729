"""Forces of the wind in units of the dynamic pressure of the true wind, and their depowering.

SI units and radians. At one true wind angle, heel and ratio of boat speed to true wind speed all air forces
go with the square of the wind. So one table over the ratio serves every wind, and nothing is interpolated.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.constants import REFERENCE_WIND_HEIGHT_M
from cringle.physics.depower import LEAST_FLAT, MOST_TWIST
from cringle.physics.sail_sum import SailCurves
from cringle.physics.wind import log_law_ratio
from cringle.physics.windage import WindageElement

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEAST_POWER = LEAST_FLAT
"""Lift scale without twist below which sails no longer set; from there one feathers or takes sail off."""


@dataclass(frozen=True)
class AirSide:
    """What one set of sails and the things above the water do in the wind.

    Parameters
    ----------
    curves : SailCurves
        The sails.
    windage : WindageElement
        Everything else as one element.
    arm_below : float
        From the waterline down to where keel and rudder push back. [m]
    sail_power, windage_factor : float
        From a fit.
    """

    curves: SailCurves
    windage: WindageElement
    arm_below: float
    sail_power: float = 1.0
    windage_factor: float = 1.0

    def wind_ratio(self) -> float:
        """Return the true wind at the height of the sails over that at 10 m."""
        return self._ratio(self.curves.sails.area_centre_height)

    def windage_ratio(self) -> float:
        """Return the true wind at the height of the windage over that at the height of the sails."""
        return self._ratio(self.windage.height) / self.wind_ratio()

    def _ratio(self, height: float) -> float:
        roughness = self.curves.assumptions.roughness_length
        return float(log_law_ratio(max(height, 0.1), REFERENCE_WIND_HEIGHT_M, roughness=roughness))


class AirTerms(NamedTuple):
    """Parts of drive and heeling force on the sail area, over the pressure of the true wind.

    All [1], in the shape of the arguments; `centre` [m] above the waterline and `forward` [m] of its after
    end, `windage_moment` and `moment` in m. Lift gives drive and side; parasitic, quadratic and induced drag
    each take along the course and add to the side. `drive`, `side` and `moment` are the sums at full power,
    windage included; `best_drive` is more than any depowering gives.
    """

    lift_drive: Array
    lift_side: Array
    parasitic_along: Array
    parasitic_side: Array
    quadratic_along: Array
    quadratic_side: Array
    induced_along: Array
    induced_side: Array
    centre: Array
    forward: Array
    most_twist: Array
    windage_drive: Array
    windage_side: Array
    windage_moment: Array
    drive: Array
    side: Array
    moment: Array
    best_drive: Array


class Settled(NamedTuple):
    """Sails after depowering. Forces over pressure and area [1]; `moment` and `excess` [m] likewise.

    `power` is 1 at full power and the lift scale without twist below it; `excess` is the moment that no power
    holds, 0 where there is none.
    """

    power: Array
    drive: Array
    side: Array
    moment: Array
    excess: Array


def air_terms(air: AirSide, ratio: Array, angle: Array, heel: Array) -> AirTerms:
    """Return the parts of the air forces.

    Parameters
    ----------
    air : AirSide
        Sails and windage.
    ratio : array
        Boat speed over true wind speed at the height of the sails. [1]
    angle : array
        True wind angle between the course through the water and the wind, 0 to pi. [rad]
    heel : array
        [rad]

    Notes
    -----
    The angle is that to the course, so forces are resolved along the course and across it; leeway is no part
    of the triangle. The apparent wind in the heeled plane is ``(cos a + r, sin a cos heel)``: the chain
    `apparent_wind`, `heeled_wind` of the physics room, written in one step (tested against it).
    """
    cosine = np.cos(heel)
    along = np.cos(angle) + ratio
    across = np.sin(angle) * cosine
    speed = np.hypot(along, across)
    full = air.curves.at(np.arctan2(across, along))
    forward, sideways = air.sail_power * speed * along, air.sail_power * speed * across
    shape = np.shape(full.lift)
    blown = [np.broadcast_to(one, shape) for one in _windage_terms(air, ratio, angle, cosine)]
    none = np.zeros(shape)
    terms = AirTerms(
        np.asarray(full.lift * sideways),
        np.asarray(full.lift * forward),
        np.asarray(full.parasitic_drag * forward),
        np.asarray(full.parasitic_drag * sideways),
        np.asarray(full.quadratic_drag * forward),
        np.asarray(full.quadratic_drag * sideways),
        np.asarray(full.induced_drag * forward),
        np.asarray(full.induced_drag * sideways),
        np.asarray(full.centre_height),
        np.asarray(full.centre_forward),
        none,
        blown[0],
        blown[1],
        blown[2],
        none,
        none,
        none,
        none,
    )
    drive, side, moment = forces(air, terms, none + 1.0, none)
    best, twist = _best_drive(air, terms), _most_twist(air, terms)
    return terms._replace(drive=drive, side=side, moment=moment, most_twist=twist, best_drive=best)


def _best_drive(air: AirSide, terms: AirTerms) -> Array:
    """Return more drive than any depowering can give: full lift, and only such drag as pushes forward."""
    bent = 1.0 + air.curves.assumptions.twist_penalty * MOST_TWIST**2
    pushed = -bent * np.minimum(terms.quadratic_along + terms.induced_along, 0.0)
    return np.maximum(terms.lift_drive, 0.0) - terms.parasitic_along + terms.windage_drive + pushed


def _lever(air: AirSide, terms: AirTerms) -> Array:
    """Return the share of the heeling arm that lies above the sheer, which is what twist takes from."""
    below, above = air.curves.rig.freeboard + air.arm_below, terms.centre - air.curves.rig.freeboard
    return np.asarray(above / (below + above))


def _most_twist(air: AirSide, terms: AirTerms) -> Array:
    """Return the twist up to which the moment surely falls with more of it.

    At unchanged lift the moment ``(S + k I t^2)(a + b (1 - t))``, S the side force, I its induced part, falls
    while ``t < S b / (2 k I (a + b))``, and half of that is kept. It matters on a reach, where the drag of
    twist heels the boat.
    """
    side = np.maximum(terms.lift_side + terms.parasitic_side, 0.0) * _lever(air, terms)
    penalty = (4.0 * air.curves.assumptions.twist_penalty) * terms.induced_side
    return np.minimum(MOST_TWIST, side / np.maximum(penalty, 1e-9))


def centre_forward(air: AirSide, ratio: Array, angle: Array, heel: Array) -> Array:
    """Return how far forward of the after end of the waterline the sails pull [m]; for the yaw balance."""
    beta = np.arctan2(np.sin(angle) * np.cos(heel), np.cos(angle) + ratio)
    return np.asarray(air.curves.at(beta).centre_forward)


def _windage_terms(
    air: AirSide, ratio: Array, angle: Array, heel_cosine: Array
) -> tuple[Array, Array, Array]:
    """Return drive, force square to the heeled centre plane and its moment, of the windage."""
    one, lower = air.windage, air.windage_ratio()
    along, across = lower * np.cos(angle) + ratio, lower * np.sin(angle)
    area = one.front_drag_area * np.abs(along) + one.side_drag_area * np.abs(across)
    scale = area * (air.windage_factor / air.curves.sails.area)
    side = scale * across * heel_cosine
    arm = (one.height if one.arm is None else one.arm) + air.arm_below
    return -scale * along, side, side * arm


def settle(
    air: AirSide, terms: AirTerms, most: Array, *, keel: Array, steps: int, hopeless: Flags | None = None
) -> Settled:
    """Return the sails depowered until their moment is no more than can be held.

    Parameters
    ----------
    air : AirSide
        Rig and assumptions.
    terms : AirTerms
        At full power.
    most : array
        Largest righting moment over pressure and sail area. [m]
    keel : array
        Induced drag of keel and rudder over the square of the side force, both over pressure and area. [1]
    steps : int
        Steps of the bracketed search for the power; 1 gives three digits, 12 all.
    hopeless : bool array, optional
        Where nobody needs the answer; full power is returned there.

    Notes
    -----
    One path from full power down, `scales`. Along it the moment falls nearly in a straight line.
    """
    over = terms.moment > most
    if hopeless is not None:
        over &= ~hopeless
    none = np.zeros_like(terms.moment)
    if not over.any():
        return Settled(none + 1.0, terms.drive, terms.side, terms.moment, none)
    some = _picked(terms, over)
    limit, dear = (np.broadcast_to(one, over.shape)[over] for one in (most, keel))
    power, excess = _power_for(air, some, limit, dear, steps=steps)
    found = forces(air, some, *scales(air, some, power, dear))

    def merged(whole: Array, part: Array) -> Array:
        filled = np.array(whole)
        filled[over] = part
        return filled

    drive, side, moment = (
        merged(one, part) for one, part in zip((terms.drive, terms.side, terms.moment), found, strict=True)
    )
    return Settled(merged(none + 1.0, power), drive, side, moment, merged(none, excess))


def _picked(terms: AirTerms, where: Flags) -> AirTerms:
    """Return the terms somewhere; those that depowering does not ask for are left empty."""
    none = np.empty(0)
    bare = terms._replace(drive=none, side=none, best_drive=none)
    return AirTerms(*(one if one is none else one[where] for one in bare))


def _power_for(
    air: AirSide, terms: AirTerms, limit: Array, keel: Array, *, steps: int
) -> tuple[Array, Array]:
    """Return the power at which the moment is the limit, and what the least power leaves over it.

    Secant steps that stay inside a bracket, and halve it where they would leave it. Well aft of the beam less
    lift heels the boat more, not less: there full power is kept and the rest is excess.
    """
    low, high = np.full_like(limit, LEAST_POWER), np.ones_like(limit)
    before, at_before = low, _moment(air, terms, low, keel) - limit
    power, at_power = high, terms.moment - limit
    excess = np.maximum(np.minimum(at_before, at_power), 0.0)
    helpless = np.where(at_before < at_power, LEAST_POWER, 1.0)
    for _ in range(steps):
        trial = _secant((before, at_before), (power, at_power), low, high)
        before, at_before = power, at_power
        power, at_power = trial, _moment(air, terms, trial, keel) - limit
        low, high = np.where(at_power > 0.0, low, power), np.where(at_power > 0.0, power, high)
    power = _secant((before, at_before), (power, at_power), low, high)
    return np.where(excess > 0.0, helpless, power), excess


def _secant(one: tuple[Array, Array], other: tuple[Array, Array], low: Array, high: Array) -> Array:
    """Return where the line through two points crosses 0, or the middle of the bracket where it leaves it."""
    rise = other[1] - one[1]
    flat = rise == 0.0
    trial = other[0] - other[1] * (other[0] - one[0]) / np.where(flat, 1.0, rise)
    inside = (trial >= low) & (trial <= high)
    return np.where(flat, other[0], np.where(inside, trial, 0.5 * (low + high)))


def scales(air: AirSide, terms: AirTerms, power: Array, keel: Array) -> tuple[Array, Array]:
    """Return the lift scale and the twist on the path from full power down.

    Parameters
    ----------
    air, terms, keel
        As in `settle`.
    power : array
        Lift scale that would give the same moment without twist, to the first order.

    Notes
    -----
    Twist t at the power m costs least drive where ``t = v (a/m - 2 D) / (v^2 a/m + 2 k I)``, a the drive of
    the lift, D the drag that goes with lift squared (that of sails and keel), I the induced part of the
    sails; the lift scale is then ``m / (1 - v t)``. v is what twist takes from the moment over what the same
    share of lift would take: the lever of `_lever`, less as flattening lowers the centre too. This is
    `physics.depower.cheapest_twist` (v = 1, no keel) carried on to a whole boat; it comes within 0.3 per
    cent of the best drive a direct search finds (tested). A kite has no twist to give.
    """
    if air.curves.sails.kite is not None:
        return power, np.zeros_like(power)
    whole = _lever(air, terms)
    lever = whole / (1.0 + whole * _fall(air))
    pull = terms.lift_drive / power
    induced = np.maximum(terms.induced_along, 0.0)
    drag = np.maximum(terms.quadratic_along, 0.0) + induced + keel * terms.lift_side * terms.lift_side
    penalty = (2.0 * air.curves.assumptions.twist_penalty) * induced
    best = lever * (pull - 2.0 * drag) / np.maximum(lever * lever * pull + penalty, 1e-12)
    twist = np.clip(best, 0.0, np.minimum(terms.most_twist, (1.0 - power) / lever))
    return power / (1.0 - lever * twist), twist


def forces(air: AirSide, terms: AirTerms, flat: Array, twist: Array) -> tuple[Array, Array, Array]:
    """Return drive, side and moment at a lift scale and a twist, windage included."""
    bent = 1.0 + air.curves.assumptions.twist_penalty * twist * twist
    along = terms.quadratic_along + terms.induced_along * bent
    drive = flat * (terms.lift_drive - flat * along) - terms.parasitic_along + terms.windage_drive
    side = _side(air, terms, flat, twist)
    moment = side * _arm(air, terms, flat, twist) + terms.windage_moment
    return drive, side + terms.windage_side, moment


def _moment(air: AirSide, terms: AirTerms, power: Array, keel: Array) -> Array:
    flat, twist = scales(air, terms, power, keel)
    return _side(air, terms, flat, twist) * _arm(air, terms, flat, twist) + terms.windage_moment


def _side(air: AirSide, terms: AirTerms, flat: Array, twist: Array) -> Array:
    induced = 1.0 + air.curves.assumptions.twist_penalty * twist * twist
    squared = terms.quadratic_side + terms.induced_side * induced
    return np.asarray(terms.parasitic_side + flat * (terms.lift_side + flat * squared))


def _fall(air: AirSide) -> float:
    """Return the fall of the centre of effort with flattening, see `centre_height_factor`."""
    known, fraction = air.curves.assumptions, air.curves.rig.foretriangle_fraction
    return known.flat_centre_drop + known.flat_centre_drop_fraction * (1.0 - fraction)


def _arm(air: AirSide, terms: AirTerms, flat: Array, twist: Array) -> Array:
    rig = air.curves.rig
    lower = (1.0 - twist) * (1.0 - _fall(air) * (1.0 - flat))
    return np.asarray((rig.freeboard + air.arm_below) + (terms.centre - rig.freeboard) * lower)
