"""Density and viscosity of fresh, brackish and sea water at atmospheric pressure."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError
from cringle.physics.arrays import Array, as_array, require_between, require_positive

SEA_SALINITY = 0.03516504
"""Absolute salinity of standard sea water [kg/kg]. ITTC 7.5-02-01-03 (2011), TEOS-10."""

PRACTICAL_PER_ABSOLUTE = 35.0 / SEA_SALINITY
"""Practical salinity per kg/kg of absolute salinity, for water of standard composition. TEOS-10."""

# One-atmosphere equation of state of sea water: Millero and Poisson, Deep-Sea Research 28A (1981) 625-629;
# UNESCO technical paper in marine science 38 (1981). From memory; tabulated densities agree to 0.02 kg/m3.
_PURE = (6.536332e-9, -1.120083e-6, 1.001685e-4, -9.095290e-3, 6.793952e-2, 999.842594)
_SALT = (5.3875e-9, -8.2467e-7, 7.6438e-5, -4.0899e-3, 0.824493)
_SALT_THREE_HALVES = (-1.6546e-6, 1.0227e-4, -5.72466e-3)
_SALT_SQUARED = 4.8314e-4


@dataclass(frozen=True)
class Water:
    """The water a boat sails in.

    Parameters
    ----------
    density : float
        [kg/m3]
    viscosity : float
        Kinematic viscosity. [m2/s]
    """

    density: float
    viscosity: float

    def __post_init__(self) -> None:
        require_positive(density=self.density, viscosity=self.viscosity)
        require_between("density", self.density, 900.0, 1100.0, unit="kg/m3")

    def __repr__(self) -> str:
        return f"Water({self.density:.1f} kg/m3, {self.viscosity:.4e} m2/s)"

    def weight(self, volume: float) -> float:
        """Return the weight of a volume of this water, in N."""
        return self.density * STANDARD_GRAVITY_M_PER_S2 * volume


def water_density(temperature_c: ArrayLike, *, salinity: ArrayLike = 0.0) -> Array:
    """Return the density of water at one atmosphere.

    Parameters
    ----------
    temperature_c : float or array
        Temperature in degrees Celsius, 0 to 40.
    salinity : float or array
        Absolute salinity, 0 to 0.042. [kg/kg]

    Returns
    -------
    array of the broadcast shape
        Density. [kg/m3] NaN outside the range.

    References
    ----------
    .. [1] F.J. Millero, A. Poisson, "International one-atmosphere equation of state of seawater",
       Deep-Sea Research 28A, 1981, 625-629.
    """
    t, s = _in_range(temperature_c, salinity)
    s = s * PRACTICAL_PER_ABSOLUTE
    return (
        np.polyval(_PURE, t)
        + np.polyval(_SALT, t) * s
        + np.polyval(_SALT_THREE_HALVES, t) * s**1.5
        + _SALT_SQUARED * s**2
    )


def dynamic_viscosity(temperature_c: ArrayLike, *, salinity: ArrayLike = 0.0) -> Array:
    """Return the dynamic viscosity of water at one atmosphere.

    Parameters
    ----------
    temperature_c : float or array
        Temperature in degrees Celsius, 0 to 40.
    salinity : float or array
        Absolute salinity, 0 to 0.042. [kg/kg]

    Returns
    -------
    array of the broadcast shape
        Dynamic viscosity. [Pa s] NaN outside the range.

    References
    ----------
    .. [1] M.H. Sharqawy, J.H. Lienhard, S.M. Zubair, "Thermophysical properties of seawater", Desalination
       and Water Treatment 16, 2010, 354-380, eq. (22)-(23). From memory; agrees with the fresh-water standard
       formulation to 0.02 %.
    """
    t, s = _in_range(temperature_c, salinity)
    fresh = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993) ** 2 - 91.296)
    a = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    b = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    return fresh * (1.0 + a * s + b * s**2)


def water_at(temperature_c: float, *, salinity: float = SEA_SALINITY) -> Water:
    """Return the water of one place and day.

    Parameters
    ----------
    temperature_c : float
        Temperature in degrees Celsius, 0 to 40.
    salinity : float
        Absolute salinity; 0 is fresh. [kg/kg]

    Raises
    ------
    InputError
        Temperature or salinity is outside the range of the formulae.
    """
    density = float(water_density(temperature_c, salinity=salinity))
    if not np.isfinite(density):
        raise InputError(
            f"water: found {temperature_c:g} C and salinity {salinity:g} kg/kg; "
            "accepted 0 to 40 C and 0 to 0.042 kg/kg",
            next_step="give the temperature in degrees Celsius and the salinity as a fraction",
        )
    return Water(density, float(dynamic_viscosity(temperature_c, salinity=salinity)) / density)


def _in_range(temperature_c: ArrayLike, salinity: ArrayLike) -> tuple[Array, Array]:
    t, s = np.broadcast_arrays(as_array(temperature_c), as_array(salinity))
    known = (t >= 0.0) & (t <= 40.0) & (s >= 0.0) & (s <= 0.042)
    return np.where(known, t, np.nan), np.where(known, s, np.nan)
