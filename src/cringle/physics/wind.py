"""The wind triangle, the heeled plane and the wind gradient over water.

Angles are measured from the bow to where the wind comes from, starboard positive, in (-pi, pi].
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.constants import (
    OPEN_WATER_ROUGHNESS_M,
    REFERENCE_WIND_HEIGHT_M,
    STANDARD_GRAVITY_M_PER_S2,
)
from cringle.errors import InputError

Quantity = float | NDArray[np.float64]

VON_KARMAN = 0.40
"""Von Karman's constant [1]; the usual rounded value, from memory."""

CHARNOCK_CONSTANT = 0.0144
"""Roughness of a wind-driven sea, z0 g / u*^2 [1]. Garratt 1977."""

POWER_LAW_EXPONENT_OPEN_WATER = 0.11
"""Exponent of the power law over open water [1]. Hsu, Meindl and Gilhousen, J. Applied Meteorology 33, 1994,
pp. 757-765; from memory."""


class Wind(NamedTuple):
    """A wind as felt or as it is: speed [m/s] and angle from the bow [rad], starboard positive."""

    speed: Quantity
    angle: Quantity


class SurfaceWind(NamedTuple):
    """What a wind over open water does to the surface, and the surface to the wind."""

    friction_velocity: Quantity
    roughness: Quantity
    drag_coefficient: Quantity


def refuse_negative(name: str, value: Quantity) -> None:
    """Raise an `InputError` that names the first negative entry of a quantity that cannot be negative."""
    wrong = np.flatnonzero(np.atleast_1d(np.asarray(value) < 0.0))
    if wrong.size:
        found = np.atleast_1d(np.asarray(value, dtype=float)).ravel()[wrong[0]]
        raise InputError(
            f"{name}: found {found:g} in row {wrong[0]}, accepted 0 or more",
            next_step="check the sign, and that no two columns are swapped",
        )


def to_leeward(angle: Quantity) -> Quantity:
    """Return +1 where the wind comes from starboard (or ahead, or astern), -1 where it comes from port."""
    return np.copysign(1.0, angle)


def apparent_wind(
    true_wind_speed: Quantity, true_wind_angle: Quantity, *, boat_speed: Quantity, leeway: Quantity = 0.0
) -> Wind:
    """Return the wind felt on board from the true wind and the boat's motion through the water.

    Parameters
    ----------
    true_wind_speed : float or array
        True wind speed at the height in question, not negative. [m/s]
    true_wind_angle : float or array
        From the bow to where the wind comes from; starboard positive. [rad]
    boat_speed : float or array
        Speed through the water along the course, not negative. [m/s]
    leeway : float or array
        Angle between heading and course through the water, positive to leeward. [rad]

    Returns
    -------
    Wind
        Apparent wind speed [m/s] and angle from the bow in (-pi, pi] [rad], of the broadcast shape.

    Raises
    ------
    InputError
        A speed is negative.

    Notes
    -----
    Plane vector sum: x = TWS cos TWA + V cos lambda, y = TWS sin TWA - V sin lambda (wind from starboard).
    NaN in gives NaN out. In a dead calm at rest the angle is that of the zero vector, 0.

    Examples
    --------
    >>> speed, angle = apparent_wind(10.0, np.pi / 2, boat_speed=10.0)
    >>> round(float(speed), 3), round(float(angle), 4)
    (14.142, 0.7854)
    """
    refuse_negative("true wind speed", true_wind_speed)
    refuse_negative("boat speed", boat_speed)
    along = true_wind_speed * np.cos(true_wind_angle) + boat_speed * np.cos(leeway)
    drift = boat_speed * np.sin(leeway) * to_leeward(true_wind_angle)
    across = true_wind_speed * np.sin(true_wind_angle) - drift
    return Wind(np.hypot(along, across), np.arctan2(across, along))


def true_wind(
    apparent_wind_speed: Quantity,
    apparent_wind_angle: Quantity,
    *,
    boat_speed: Quantity,
    leeway: Quantity = 0.0,
) -> Wind:
    """Return the true wind (relative to the water) from the apparent wind: the inverse of `apparent_wind`.

    Parameters
    ----------
    apparent_wind_speed, apparent_wind_angle : float or array
        Apparent wind [m/s] and [rad], starboard positive.
    boat_speed : float or array
        Speed through the water along the course, not negative. [m/s]
    leeway : float or array
        Positive to leeward. [rad]

    Returns
    -------
    Wind
        True wind speed [m/s] and angle from the bow [rad].

    Raises
    ------
    InputError
        A speed is negative.

    Notes
    -----
    The leeward side is taken from the apparent wind. It differs from the side of the true wind only where
    the sideways drift is larger than the true wind's own sideways part; there the pair is not an inverse.
    """
    refuse_negative("apparent wind speed", apparent_wind_speed)
    refuse_negative("boat speed", boat_speed)
    along = apparent_wind_speed * np.cos(apparent_wind_angle) - boat_speed * np.cos(leeway)
    drift = boat_speed * np.sin(leeway) * to_leeward(apparent_wind_angle)
    across = apparent_wind_speed * np.sin(apparent_wind_angle) + drift
    return Wind(np.hypot(along, across), np.arctan2(across, along))


def heeled_wind(apparent_wind_speed: Quantity, apparent_wind_angle: Quantity, *, heel: Quantity) -> Wind:
    """Return the part of the apparent wind that lies in the plane square to the heeled mast.

    Parameters
    ----------
    apparent_wind_speed, apparent_wind_angle : float or array
        Apparent wind [m/s] and [rad] in the horizontal plane.
    heel : float or array
        Heel, either sign. [rad]

    Returns
    -------
    Wind
        Effective speed V_e [m/s] and angle beta_e [rad] at which sail coefficients are read.

    Notes
    -----
    beta_e = atan2(sin beta cos phi, cos beta), V_e = V sqrt(cos^2 beta + sin^2 beta cos^2 phi):
    the part of the wind along the mast is dropped. Jackson, Chesapeake Sailing Yacht Symposium, 1996 and
    2001, found a simple geometric construction of this kind to represent heel well. Heel never raises V_e.
    """
    along = np.cos(apparent_wind_angle)
    across = np.sin(apparent_wind_angle) * np.cos(heel)
    return Wind(apparent_wind_speed * np.hypot(along, across), np.arctan2(across, along))


def log_law_ratio(
    height: Quantity, reference_height: Quantity, *, roughness: Quantity = OPEN_WATER_ROUGHNESS_M
) -> Quantity:
    """Return the wind speed at a height over that at a reference height in neutral air, by the log law.

    Parameters
    ----------
    height, reference_height : float or array
        Heights above the water, larger than the roughness length. [m]
    roughness : float or array
        Roughness length z0. [m] Open water with 5 km of fetch: 0.0002.

    Returns
    -------
    float or array
        ln(z / z0) / ln(z_ref / z0); NaN where a height is not above the roughness length. [1]

    Notes
    -----
    Neutral air only. Warm air over cold water has far more shear and veer; keep the roughness adjustable.
    Roughness classes: US EPA, Meteorological Monitoring Guidance, EPA-454/R-99-005, 2000, table 6-10.
    """
    upper = np.asarray(height) / roughness
    lower = np.asarray(reference_height) / roughness
    usable = (upper > 1.0) & (lower > 1.0)
    ratio = np.log(np.where(usable, upper, np.nan)) / np.log(np.where(usable, lower, np.nan))
    return ratio[()]


def power_law_ratio(
    height: Quantity, reference_height: Quantity, *, exponent: Quantity = POWER_LAW_EXPONENT_OPEN_WATER
) -> Quantity:
    """Return the wind speed at a height over that at a reference height by the power law.

    Parameters
    ----------
    height, reference_height : float or array
        Heights above the water, larger than 0; NaN elsewhere. [m]
    exponent : float or array
        About 0.11 over open water (from memory), about 1/7 over open land (from memory). [1]

    Returns
    -------
    float or array
        (z / z_ref) ** exponent. [1]
    """
    ratio = np.asarray(height, dtype=float) / reference_height
    return (np.where(ratio > 0.0, ratio, np.nan) ** exponent)[()]


def wind_speed_at_height(
    speed: Quantity,
    from_height: Quantity,
    to_height: Quantity = REFERENCE_WIND_HEIGHT_M,
    roughness: Quantity = OPEN_WATER_ROUGHNESS_M,
) -> Quantity:
    """Return a wind speed measured at one height as it would be at another, by the log law.

    Parameters
    ----------
    speed : float or array
        Wind speed where it was measured, in any unit; the answer has the same unit.
    from_height : float or array
        Height of the measurement above the water: masthead, hand-held 2 m, forecast 10 m. [m]
    to_height : float or array
        Height wanted; 10 m unless told. [m]
    roughness : float or array
        Roughness length. [m]

    Returns
    -------
    float or array
        Wind speed at `to_height`.

    Raises
    ------
    InputError
        A speed is negative, or a height does not stand above the roughness length.

    Examples
    --------
    >>> round(float(wind_speed_at_height(10.0, 2.0)), 2)
    11.75
    """
    refuse_negative("wind speed", speed)
    for name, height in (("from_height", from_height), ("to_height", to_height)):
        if np.any(np.asarray(height) <= roughness):
            raise InputError(
                f"{name}: found {np.min(height):g} m, accepted more than the roughness length "
                f"{np.max(roughness):g} m",
                next_step="give the height above the water where the wind was measured, for example 2 m",
            )
    return speed * log_law_ratio(to_height, from_height, roughness=roughness)


def surface_wind(speed_at_10_m: Quantity, *, charnock_constant: Quantity = CHARNOCK_CONSTANT) -> SurfaceWind:
    """Return friction velocity, roughness length and drag coefficient of a wind over open sea.

    Parameters
    ----------
    speed_at_10_m : float or array
        Neutral wind speed at 10 m, not negative. [m/s]
    charnock_constant : float or array
        z0 g / u*^2. [1] 0.0144 (Garratt 1977); 0.012 was fitted in the North Sea (Pena and Gryning 2008).

    Returns
    -------
    SurfaceWind
        u* [m/s], z0 [m], C_D10 [1]; all three are 0 in a calm.

    Raises
    ------
    InputError
        A speed is negative, or so strong (above about 90 m/s) that the two equations have no common solution.

    Notes
    -----
    U10 = (u*/k) ln(10 / z0) with z0 = a u*^2 / g is solved in closed form: with b = sqrt(10 g / a) and
    w = ln(b / u*), w exp(-w) = k U10 / (2 b), so w = -W(-k U10 / (2 b)) on the lower branch of Lambert's W.
    Below about 3 m/s a real surface is smoother or rougher than this (viscous sublayer, old swell).

    References
    ----------
    .. [1] J. R. Garratt, "Review of drag coefficients over oceans and continents", Monthly Weather Review
       105, 1977, pp. 915-929.
    """
    from scipy.special import lambertw

    refuse_negative("wind speed", speed_at_10_m)
    b = np.sqrt(REFERENCE_WIND_HEIGHT_M * STANDARD_GRAVITY_M_PER_S2 / np.asarray(charnock_constant))
    argument = VON_KARMAN * np.asarray(speed_at_10_m, dtype=float) / (2.0 * b)
    if np.any(argument > np.exp(-1.0)):
        strongest = 2.0 * np.min(b) / np.e / VON_KARMAN
        raise InputError(
            f"wind speed: found {np.max(speed_at_10_m):g} m/s, accepted up to about {strongest:.0f} m/s",
            next_step="check the unit of the wind speed",
        )
    moving = argument > 0.0
    w = -np.real(lambertw(-np.where(moving, argument, 0.1), k=-1))
    friction_velocity = np.where(moving, b * np.exp(-w), argument * 0.0)
    roughness = charnock_constant * friction_velocity**2 / STANDARD_GRAVITY_M_PER_S2
    drag = np.where(moving, (VON_KARMAN / (2.0 * w)) ** 2, argument * 0.0)
    return SurfaceWind(friction_velocity[()], roughness[()], drag[()])
