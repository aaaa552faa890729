"""Properties of air: density, moist or dry, and dynamic pressure."""

from __future__ import annotations

import numpy as np

from cringle.constants import AIR_DENSITY_KG_PER_M3
from cringle.errors import OutOfRangeError
from cringle.physics.wind import Quantity

GAS_CONSTANT_DRY_AIR = 287.05
"""Specific gas constant of dry air [J/(kg K)]. ISO 2533:1975 gives 287.05287."""

GAS_CONSTANT_WATER_VAPOUR = 461.5
"""Specific gas constant of water vapour [J/(kg K)]. CRC Handbook of Chemistry and Physics; from memory."""

STANDARD_PRESSURE = 101325.0
"""Standard atmosphere [Pa]. ISO 2533:1975."""

ICE_POINT = 273.15
"""Zero of the Celsius scale [K], exact. BIPM, SI Brochure."""

MAGNUS_PRESSURE = 611.2
"""Saturation vapour pressure at 0 C [Pa]. WMO-No. 8, Guide to Instruments and Methods of
Observation, annex 4.B; from memory."""

MAGNUS_FACTOR, MAGNUS_TEMPERATURE = 17.62, 243.12
"""Constants of the Magnus formula over water, [1] and [K]; WMO-No. 8, annex 4.B."""


def saturation_vapour_pressure(temperature: Quantity) -> Quantity:
    """Return the vapour pressure of saturated air over water [Pa] at a temperature [K].

    Raises
    ------
    OutOfRangeError
        The temperature lies outside 228 to 333 K, where the Magnus formula is given.

    Notes
    -----
    e_s = 611.2 exp(17.62 t / (243.12 + t)), t in C. WMO-No. 8, annex 4.B.
    """
    lowest, highest = ICE_POINT - 45.0, ICE_POINT + 60.0
    value = np.asarray(temperature, dtype=float)
    wrong = value[(value < lowest) | (value > highest)]
    if wrong.size:
        raise OutOfRangeError(
            "temperature",
            float(wrong.flat[0]),
            lowest,
            highest,
            unit="K",
            next_step="give kelvin, not Celsius",
        )
    celsius = value - ICE_POINT
    return (MAGNUS_PRESSURE * np.exp(MAGNUS_FACTOR * celsius / (MAGNUS_TEMPERATURE + celsius)))[()]


def air_density(
    temperature: Quantity, pressure: Quantity = STANDARD_PRESSURE, *, relative_humidity: Quantity = 0.0
) -> Quantity:
    """Return the density of moist air [kg/m3].

    Parameters
    ----------
    temperature : float or array
        Air temperature. [K]
    pressure : float or array
        Air pressure at the place, vapour included. [Pa]
    relative_humidity : float or array
        From 0 to 1. [1]

    Raises
    ------
    OutOfRangeError
        Humidity outside 0 to 1, pressure outside 60 to 120 kPa, or temperature outside 228 to 333 K.

    Notes
    -----
    rho = (p - e) / (R_d T) + e / (R_v T), both parts ideal gases. Damp air is lighter than dry air.
    """
    for name, value, low, high, unit in (
        ("relative humidity", relative_humidity, 0.0, 1.0, ""),
        ("air pressure", pressure, 60e3, 120e3, "Pa"),
    ):
        array = np.asarray(value, dtype=float)
        wrong = array[(array < low) | (array > high)]
        if wrong.size:
            raise OutOfRangeError(name, float(wrong.flat[0]), low, high, unit=unit)
    vapour = relative_humidity * saturation_vapour_pressure(temperature)
    dry = (pressure - vapour) / (GAS_CONSTANT_DRY_AIR * temperature)
    return dry + vapour / (GAS_CONSTANT_WATER_VAPOUR * temperature)


def dynamic_pressure(speed: Quantity, density: Quantity = AIR_DENSITY_KG_PER_M3) -> Quantity:
    """Return the dynamic pressure q = rho V^2 / 2 [Pa] of air at a speed [m/s] and density [kg/m3]."""
    return 0.5 * density * speed * speed
