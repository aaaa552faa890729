"""Planing on a prismatic bottom: the full equilibrium, and the short form for a sailing hull."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.physics.arrays import Array, as_array, not_negative, require_between, require_positive
from cringle.physics.friction import ROUGHNESS_SAVITSKY, ittc_friction_coefficient
from cringle.physics.hull_form import HullForm
from cringle.physics.water import Water
from cringle.units import degrees_to_radians, radians_to_degrees

SPEED_RANGE = (0.60, 13.0)
"""Speed coefficient ``V / sqrt(g b)`` the method was made for."""

TRIM_RANGE_DEG = (2.0, 15.0)
"""Trim the method was made for."""

WETTED_RANGE = (0.0, 4.0)
"""Mean wetted length over beam the method was made for."""

_SEARCH_TRIM_DEG = (0.5, 20.0)
_HALVINGS = 50

FrictionLine = Callable[[ArrayLike], Array]


@dataclass(frozen=True)
class PlaningBottom:
    """A prismatic planing bottom and where its loads act. Lengths in m, angles in rad.

    Parameters
    ----------
    weight : float
        Weight carried. [N]
    beam : float
        Over the chines. [m]
    deadrise : float
        [rad]
    lcg : float
        Centre of mass ahead of the transom. [m]
    vcg : float
        Centre of mass above the keel. [m]
    thrust_angle : float
        Of the thrust line above the keel line. [rad]
    thrust_arm : float
        Distance of the thrust line from the centre of mass, positive below it. [m]
    """

    weight: float
    beam: float
    deadrise: float
    lcg: float
    vcg: float = 0.0
    thrust_angle: float = 0.0
    thrust_arm: float = 0.0

    def __post_init__(self) -> None:
        require_positive(weight=self.weight, beam=self.beam, lcg=self.lcg)
        require_between("deadrise", self.deadrise, 0.0, math.pi / 3, unit="rad")


@dataclass(frozen=True)
class PlaningState:
    """How a bottom runs. Arrays of the shape of the speed.

    Parameters
    ----------
    trim : array
        [rad]
    wetted_ratio : array
        Mean wetted length over beam.
    friction : array
        Along the bottom. [N]
    resistance : array
        [N] NaN where there is no equilibrium.
    in_range : bool array
        Whether speed, trim and wetted ratio lie where the method was made for.
    """

    trim: Array
    wetted_ratio: Array
    friction: Array
    resistance: Array
    in_range: NDArray[np.bool_]


def speed_coefficient(speed: ArrayLike, beam: float) -> Array:
    """Return ``Cv = V / sqrt(g b)``.

    Parameters
    ----------
    speed : float or array
        Not negative. [m/s]
    beam : float
        [m]
    """
    return not_negative("speed", speed) / math.sqrt(STANDARD_GRAVITY_M_PER_S2 * beam)


def flat_plate_lift(trim: ArrayLike, wetted_ratio: ArrayLike, speed_coeff: ArrayLike) -> Array:
    """Return ``C_L0 = tau^1.1 (0.0120 lambda^0.5 + 0.0055 lambda^2.5 / Cv^2)``, tau in degrees.

    Parameters
    ----------
    trim : float or array
        [rad]
    wetted_ratio, speed_coeff : float or array, broadcasting
        lambda and Cv.

    References
    ----------
    .. [1] D. Savitsky, "Hydrodynamic design of planing hulls", Marine Technology 1(1), 1964, 71-95.
    """
    return radians_to_degrees(as_array(trim)) ** 1.1 * _lift_per_trim(wetted_ratio, speed_coeff)


def _lift_per_trim(wetted_ratio: ArrayLike, speed_coeff: ArrayLike) -> Array:
    wetted, cv = as_array(wetted_ratio), as_array(speed_coeff)
    return 0.0120 * np.sqrt(wetted) + 0.0055 * wetted**2.5 / cv**2


def deadrise_lift(flat: ArrayLike, deadrise: float) -> Array:
    """Return the lift coefficient of a bottom with deadrise from that of a flat one.

    ``C_Lb = C_L0 - 0.0065 beta C_L0^0.60``, beta in degrees.
    """
    lift = as_array(flat)
    return lift - 0.0065 * radians_to_degrees(deadrise) * lift**0.60


def flat_lift_for(lift: ArrayLike, deadrise: float) -> Array:
    """Return the flat-plate lift coefficient that gives a lift coefficient with deadrise (the inverse)."""
    wanted = as_array(lift)
    factor = 0.0065 * radians_to_degrees(deadrise)
    flat = wanted + factor * np.maximum(wanted, 1e-9) ** 0.60 + factor ** (1.0 / 0.4)
    for _ in range(12):
        flat = flat - (flat - factor * flat**0.60 - wanted) / (1.0 - 0.60 * factor * flat**-0.40)
    return as_array(flat)


def centre_of_pressure(wetted_ratio: ArrayLike, speed_coeff: ArrayLike) -> Array:
    """Return the centre of pressure ahead of the transom, over the mean wetted length.

    ``0.75 - 1 / (5.21 Cv^2 / lambda^2 + 2.39)``.
    """
    wetted, cv = as_array(wetted_ratio), as_array(speed_coeff)
    return 0.75 - wetted**2 / (5.21 * cv**2 + 2.39 * wetted**2)


def bottom_speed_ratio(trim: ArrayLike, wetted_ratio: ArrayLike, deadrise: float) -> Array:
    """Return the mean speed of the water over the bottom, over the boat's speed.

    The dynamic part of the lift lowers it; with deadrise that part is corrected as the whole lift is.
    """
    tau, wetted = as_array(trim), as_array(wetted_ratio)
    dynamic = 0.0120 * np.sqrt(wetted) * radians_to_degrees(tau) ** 1.1
    corrected = deadrise_lift(dynamic, deadrise)
    return as_array(np.sqrt(np.maximum(1.0 - corrected / (wetted * np.cos(tau)), 0.0)))


def bottom_friction(
    bottom: PlaningBottom,
    water: Water,
    speed: ArrayLike,
    *,
    trim: ArrayLike,
    wetted_ratio: ArrayLike,
    friction_line: FrictionLine = ittc_friction_coefficient,
) -> Array:
    """Return the friction along a planing bottom, with the roughness allowance of the source, in N.

    Parameters
    ----------
    bottom : PlaningBottom
        Beam and deadrise.
    water : Water
        Density and viscosity.
    speed : float or array
        Not negative. [m/s]
    trim, wetted_ratio : float or array, broadcasting
        Trim [rad] and mean wetted length over beam.
    friction_line : callable
        Friction coefficient from the Reynolds number on the mean wetted length.
    """
    velocity = not_negative("speed", speed) * bottom_speed_ratio(trim, wetted_ratio, bottom.deadrise)
    wetted = as_array(wetted_ratio)
    coefficient = friction_line(velocity * wetted * bottom.beam / water.viscosity) + ROUGHNESS_SAVITSKY
    area = wetted * bottom.beam**2 / math.cos(bottom.deadrise)
    return as_array(0.5 * water.density * velocity**2 * area * coefficient)


def planing_short_form(bottom: PlaningBottom, water: Water, speed: ArrayLike) -> PlaningState:
    """Return how a bottom runs when all forces pass through one effective centre.

    The centre of pressure is put at `bottom.lcg`; that gives the wetted length, the lift gives the trim. For
    a sailing hull the sails push the bow down and the crew moves aft, so the effective centre is a
    calibration value.

    Parameters
    ----------
    bottom : PlaningBottom
        Weight, beam, deadrise and effective centre.
    water : Water
        Density and viscosity.
    speed : float or array
        Above zero for a finite answer; below speed coefficient 0.6 flagged. [m/s]
    """
    velocity = not_negative("speed", speed)
    floor = SPEED_RANGE[0] * math.sqrt(STANDARD_GRAVITY_M_PER_S2 * bottom.beam)
    used = np.maximum(velocity, floor)
    wetted = _wetted_ratio_for_centre(bottom.lcg / bottom.beam, speed_coefficient(used, bottom.beam))
    trim = _trim_for_lift(bottom, water, used, wetted)
    return _state(bottom, water, used, attitude=(trim, wetted), known=velocity >= floor)


def _wetted_ratio_for_centre(centre: float, speed_coeff: Array) -> Array:
    """Solve ``lambda * centre_of_pressure = centre`` by halving; the two limits of the factor bracket it."""
    low = np.full_like(speed_coeff, centre / 0.75)
    high = np.full_like(speed_coeff, centre / (0.75 - 1.0 / 2.39))
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        short = middle * centre_of_pressure(middle, speed_coeff) < centre
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return 0.5 * (low + high)


def _flat_lift(bottom: PlaningBottom, water: Water, speed: Array) -> Array:
    return flat_lift_for(bottom.weight / (0.5 * water.density * speed**2 * bottom.beam**2), bottom.deadrise)


def _trim_for_lift(bottom: PlaningBottom, water: Water, speed: Array, wetted: Array) -> Array:
    per_trim = _lift_per_trim(wetted, speed_coefficient(speed, bottom.beam))
    return degrees_to_radians((_flat_lift(bottom, water, speed) / per_trim) ** (1.0 / 1.1))


def _state(
    bottom: PlaningBottom,
    water: Water,
    speed: Array,
    *,
    attitude: tuple[Array, Array],
    known: NDArray[np.bool_],
    friction_line: FrictionLine = ittc_friction_coefficient,
) -> PlaningState:
    trim, wetted = attitude
    friction = bottom_friction(
        bottom, water, speed, trim=trim, wetted_ratio=wetted, friction_line=friction_line
    )
    resistance = bottom.weight * np.tan(trim) + friction / np.cos(trim)
    coefficient = speed_coefficient(speed, bottom.beam)
    inside = (
        _inside(radians_to_degrees(trim), TRIM_RANGE_DEG)
        & _inside(wetted, WETTED_RANGE)
        & _inside(coefficient, SPEED_RANGE)
    )
    return PlaningState(trim, wetted, friction, resistance, known & inside)


def _inside(value: Array, limits: tuple[float, float]) -> NDArray[np.bool_]:
    return (value >= limits[0]) & (value <= limits[1])


def planing_equilibrium(
    bottom: PlaningBottom,
    water: Water,
    speed: ArrayLike,
    *,
    friction_line: FrictionLine = ittc_friction_coefficient,
) -> PlaningState:
    """Return the trim at which lift and pitching moment of a planing bottom balance, and its resistance.

    Parameters
    ----------
    bottom : PlaningBottom
        Weight, geometry and thrust line.
    water : Water
        Density and viscosity.
    speed : float or array
        Above zero. [m/s]
    friction_line : callable
        Friction coefficient from the Reynolds number; the source used Schoenherr's line.

    Returns
    -------
    PlaningState
        NaN where no trim between 0.5 and 20 degrees balances.

    References
    ----------
    .. [1] D. Savitsky, Marine Technology 1(1), 1964, eq. (35) for the moment.
    """
    velocity = np.maximum(not_negative("speed", speed), 1e-6)

    def moment(trim: Array) -> Array:
        return pitching_moment(bottom, water, velocity, trim=trim, friction_line=friction_line)

    low = np.full_like(velocity, degrees_to_radians(_SEARCH_TRIM_DEG[0]))
    high = np.full_like(velocity, degrees_to_radians(_SEARCH_TRIM_DEG[1]))
    at_low = np.sign(moment(low))
    balanced = at_low * np.sign(moment(high)) < 0.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        same = np.sign(moment(middle)) == at_low
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    trim = np.where(balanced, 0.5 * (low + high), np.nan)
    wetted = wetted_ratio_for_lift(bottom, water, velocity, trim=trim)
    return _state(
        bottom, water, velocity, attitude=(trim, wetted), known=balanced, friction_line=friction_line
    )


def wetted_ratio_for_lift(bottom: PlaningBottom, water: Water, speed: ArrayLike, *, trim: ArrayLike) -> Array:
    """Return the mean wetted length over beam that carries the weight at a given trim.

    Parameters
    ----------
    bottom : PlaningBottom
        Weight, beam, deadrise.
    water : Water
        Density.
    speed : float or array
        Above zero. [m/s]
    trim : float or array, broadcasts with the speed
        [rad]
    """
    velocity = not_negative("speed", speed)
    cv = speed_coefficient(velocity, bottom.beam)
    wanted = _flat_lift(bottom, water, velocity) / radians_to_degrees(as_array(trim)) ** 1.1
    low, high = np.zeros_like(wanted), (wanted / 0.0120) ** 2
    for _ in range(2 * _HALVINGS):
        middle = 0.5 * (low + high)
        short = _lift_per_trim(middle, cv) < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.where(np.isfinite(wanted), 0.5 * (low + high), np.nan)


def pitching_moment(
    bottom: PlaningBottom,
    water: Water,
    speed: ArrayLike,
    *,
    trim: ArrayLike,
    friction_line: FrictionLine = ittc_friction_coefficient,
) -> Array:
    """Return the unbalanced bow-down moment at a trim at which the weight is carried, in N m.

    Parameters
    ----------
    bottom : PlaningBottom
        Weight, geometry and thrust line.
    water : Water
        Density and viscosity.
    speed : float or array
        Above zero. [m/s]
    trim : float or array, broadcasts with the speed
        [rad]
    friction_line : callable
        Friction coefficient from the Reynolds number.
    """
    tau = as_array(trim)
    wetted = wetted_ratio_for_lift(bottom, water, speed, trim=tau)
    pressure = centre_of_pressure(wetted, speed_coefficient(speed, bottom.beam)) * wetted * bottom.beam
    friction = bottom_friction(
        bottom, water, speed, trim=tau, wetted_ratio=wetted, friction_line=friction_line
    )
    pressure_arm = bottom.lcg - pressure
    friction_arm = bottom.vcg - bottom.beam / 4.0 * math.tan(bottom.deadrise)
    lean = 1.0 - np.sin(tau) * np.sin(tau + bottom.thrust_angle)
    from_weight = lean * pressure_arm / np.cos(tau) - bottom.thrust_arm * np.sin(tau)
    return bottom.weight * from_weight + friction * (friction_arm - bottom.thrust_arm)


def keel_wetted_length(bottom: PlaningBottom, state: PlaningState) -> Array:
    """Return the wetted length along the keel, ``b [lambda + tan beta / (2 pi tan tau)]``, in m."""
    rise = math.tan(bottom.deadrise) / (2.0 * math.pi * np.tan(state.trim))
    return bottom.beam * (state.wetted_ratio + rise)


def planing_bottom_of(hull: HullForm, water: Water) -> PlaningBottom:
    """Return the planing bottom of a sailing hull for the short form."""
    return PlaningBottom(water.weight(hull.volume_canoe), hull.chine_beam, hull.deadrise, hull.planing_lcg)
