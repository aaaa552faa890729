"""Skin friction: friction lines, form factors, wetted area upright and heeled."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cringle.physics.arrays import Array, as_array, not_negative, require_between
from cringle.physics.hull_form import HullForm
from cringle.physics.tables import load_table
from cringle.physics.water import Water
from cringle.units import degrees_to_radians

HULL_LENGTH_SHARE = 0.7
"""Share of Lwl on which the hull's Reynolds number is based. Practice of the Delft series."""

LOWEST_REYNOLDS = 5.0e5
"""Below this the turbulent line does not hold; the line is held there so that drag goes to zero with V^2."""

ROUGHNESS_SAVITSKY = 0.0004
"""Allowance added to the friction coefficient in Savitsky's method. Savitsky 1964."""


def reynolds_number(speed: ArrayLike, length: float, water: Water) -> Array:
    """Return ``V L / nu``.

    Parameters
    ----------
    speed : float or array
        Not negative. [m/s]
    length : float
        [m]
    water : Water
        Gives the kinematic viscosity.
    """
    return not_negative("speed", speed) * (length / water.viscosity)


def ittc_friction_coefficient(reynolds: ArrayLike) -> Array:
    """Return the ITTC 1957 correlation line ``0.075 / (log10 Re - 2)^2``.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number. Below 5e5 the value at 5e5 is held.

    References
    ----------
    .. [1] International Towing Tank Conference, Madrid 1957; ITTC procedure 7.5-02-02-01.
    """
    return 0.075 / (np.log10(np.maximum(not_negative("reynolds", reynolds), LOWEST_REYNOLDS)) - 2.0) ** 2


def schoenherr_friction_coefficient(reynolds: ArrayLike) -> Array:
    """Return the Schoenherr line, the solution of ``0.242 / sqrt(Cf) = log10(Re Cf)``.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number, held at 5e5 below it.

    References
    ----------
    .. [1] K.E. Schoenherr, "Resistance of flat surfaces moving through a fluid", Transactions SNAME 40, 1932.
    """
    re = np.maximum(not_negative("reynolds", reynolds), LOWEST_REYNOLDS)
    root = np.sqrt(ittc_friction_coefficient(re))
    for _ in range(6):
        residual = 0.242 / root - np.log10(re * root**2)
        root = root - residual / (-0.242 / root**2 - 2.0 / (np.log(10.0) * root))
    return root**2


def frictional_resistance(speed: ArrayLike, area: ArrayLike, coefficient: ArrayLike, water: Water) -> Array:
    """Return ``0.5 rho V^2 S Cf``, in N.

    Parameters
    ----------
    speed : float or array
        Not negative. [m/s]
    area : float or array
        Wetted area, not negative. [m2]
    coefficient : float or array
        Friction coefficient, form factor and roughness included where wanted.
    water : Water
        Gives the density.
    """
    dynamic_pressure = 0.5 * water.density * not_negative("speed", speed) ** 2
    return dynamic_pressure * not_negative("wetted area", area) * as_array(coefficient)


def hull_friction(hull: HullForm, water: Water, speed: ArrayLike, *, roughness: float = 0.0) -> Array:
    """Return the upright friction of the canoe body without form factor, in N.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    water : Water
        Density and viscosity.
    speed : float or array
        Not negative. [m/s]
    roughness : float
        Added to the friction coefficient; 0 to 0.0002 for a faired race bottom (judgement).
    """
    reynolds = reynolds_number(speed, HULL_LENGTH_SHARE * hull.length_waterline, water)
    coefficient = ittc_friction_coefficient(reynolds) + roughness
    return frictional_resistance(speed, canoe_wetted_area(hull), coefficient, water)


def fin_form_factor(thickness_ratio: float) -> float:
    """Return ``1 + k = 1 + 2 (t/c) + 60 (t/c)^4`` of a fin or rudder.

    References
    ----------
    .. [1] S.F. Hoerner, "Fluid-Dynamic Drag", 1965, chapter 6. From memory.
    """
    require_between("thickness_ratio", thickness_ratio, 0.0, 0.4)
    return 1.0 + 2.0 * thickness_ratio + 60.0 * thickness_ratio**4


def bulb_form_factor(fineness: float) -> float:
    """Return ``1 + k = 1 + 1.5 (d/l)^1.5 + 7 (d/l)^3`` of a bulb of diameter d and length l.

    References
    ----------
    .. [1] S.F. Hoerner, "Fluid-Dynamic Drag", 1965, chapter 6. From memory.
    """
    require_between("fineness", fineness, 0.0, 1.0)
    return float(1.0 + 1.5 * fineness**1.5 + 7.0 * fineness**3)


def canoe_wetted_area(hull: HullForm) -> float:
    """Return the wetted area of the canoe body upright, in m2.

    Notes
    -----
    ``Sc = (1.97 + 0.171 Bwl/Tc) (0.65/Cm)^(1/3) sqrt(V Lwl)``.

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory.
    """
    shape = 1.97 + 0.171 * hull.beam_waterline / hull.draft_canoe
    return float(shape * np.cbrt(0.65 / hull.cm) * np.sqrt(hull.volume_canoe * hull.length_waterline))


def heeled_area_change(hull: HullForm, heel: ArrayLike) -> Array:
    """Return the relative change of the canoe body's wetted area with heel, 0 upright.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    heel : float or array
        Either side; the change is even in heel. Beyond 35 degrees the value there is held. [rad]

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory, grade B.
    """
    from scipy.interpolate import PchipInterpolator

    table = load_table("heeled_wetted_area")
    ratio = hull.beam_waterline / hull.draft_canoe
    per_cent = table.matrix("s0", "s1", "s2", "s3") @ np.array([1.0, ratio, ratio**2, hull.cm])
    angles = np.r_[0.0, degrees_to_radians(table.columns["heel_deg"])]
    curve = PchipInterpolator(angles, np.r_[0.0, per_cent / 100.0])
    return as_array(curve(np.minimum(np.abs(as_array(heel)), angles[-1])))
