"""Conversions between the units people use and SI, each done once, at the edge.

Inside ``physics`` everything is SI and radians. Everywhere else a name carries its unit as a suffix
(``boat_speed_kn``, ``heel_deg``); these functions are the only place where the two meet.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from cringle.constants import (
    INCH_M,
    KNOT_M_PER_S,
    NAUTICAL_MILE_M,
    POUND_KG,
    STANDARD_GRAVITY_M_PER_S2,
)

Value = TypeVar("Value", float, NDArray[np.float64])


def knots_to_metres_per_second(speed_kn: Value) -> Value:
    """Return a speed in m/s from knots (1 kn = 1852 m an hour, exact)."""
    return speed_kn * KNOT_M_PER_S


def metres_per_second_to_knots(speed: Value) -> Value:
    """Return a speed in knots from m/s."""
    return speed / KNOT_M_PER_S


def kilometres_per_hour_to_knots(speed_km_per_h: Value) -> Value:
    """Return a speed in knots from km/h (1 kn = 1.852 km/h, exact)."""
    return speed_km_per_h * 1000.0 / NAUTICAL_MILE_M


def degrees_to_radians(angle_deg: Value) -> Value:
    """Return an angle in radians from degrees."""
    return angle_deg * (np.pi / 180.0)


def radians_to_degrees(angle: Value) -> Value:
    """Return an angle in degrees from radians."""
    return angle * (180.0 / np.pi)


def millimetres_to_metres(length_mm: Value) -> Value:
    """Return a length in metres from millimetres."""
    return length_mm / 1000.0


def metres_to_millimetres(length: Value) -> Value:
    """Return a length in millimetres from metres."""
    return length * 1000.0


def inches_to_millimetres(length_in: Value) -> Value:
    """Return a length in millimetres from inches (1 in = 25.4 mm, exact)."""
    return length_in * (INCH_M * 1000.0)


def millimetres_to_inches(length_mm: Value) -> Value:
    """Return a length in inches from millimetres."""
    return length_mm / (INCH_M * 1000.0)


def pounds_to_kilograms(mass_lb: Value) -> Value:
    """Return a mass in kilograms from avoirdupois pounds (0.45359237 kg, exact)."""
    return mass_lb * POUND_KG


def kilograms_to_pounds(mass_kg: Value) -> Value:
    """Return a mass in avoirdupois pounds from kilograms."""
    return mass_kg / POUND_KG


def metres_to_nautical_miles(distance: Value) -> Value:
    """Return a distance in nautical miles from metres (1852 m, exact)."""
    return distance / NAUTICAL_MILE_M


def pounds_force_to_newtons(force_lbf: Value) -> Value:
    """Return a force in newtons from pounds-force."""
    return force_lbf * (POUND_KG * STANDARD_GRAVITY_M_PER_S2)


def wrap_degrees(angle_deg: Value) -> Value:
    """Return the same direction in [0, 360) degrees.

    A tiny negative angle would round up to 360 exactly; it is returned as 0.
    """
    wrapped: Value = np.mod(angle_deg, 360.0)
    return wrapped * (wrapped < 360.0)


def wrap_signed_degrees(angle_deg: Value) -> Value:
    """Return the same angle in (-180, 180] degrees, starboard positive."""
    wrapped: Value = 180.0 - np.mod(180.0 - angle_deg, 360.0)
    return wrapped
