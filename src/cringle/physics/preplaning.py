"""Resistance of a transom-stern hull between displacement speed and planing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.constants import POUND_KG
from cringle.physics.arrays import Array, as_array, not_negative
from cringle.physics.friction import ittc_friction_coefficient
from cringle.physics.hull_form import HullForm, RangeNote, volume_froude_number
from cringle.physics.tables import load_table
from cringle.physics.water import Water
from cringle.units import radians_to_degrees

REFERENCE_MASS_KG = 100_000.0 * POUND_KG
"""Displacement for which the regression gives the resistance: 100,000 lb."""

VOLUME_FROUDE_RANGE = (1.0, 2.0)
"""Volume Froude numbers of the regression."""

PREPLANING_RANGE: dict[str, tuple[float, float]] = {
    "slenderness": (3.07, 12.4),
    "beam_draft": (1.7, 9.8),
    "half_entrance_deg": (3.7, 28.6),
    "transom_ratio": (0.0, 1.0),
}
"""Range of the hulls behind the regression (from memory)."""


@dataclass(frozen=True)
class Preplaning:
    """Resistance over weight, and where it may be trusted.

    Parameters
    ----------
    coefficient : array
        Resistance over weight at full size.
    in_range : bool array
        Whether the volume Froude number lies between 1 and 2; outside, the value at the end is held.
    """

    coefficient: Array
    in_range: NDArray[np.bool_]


def preplaning_range_notes(hull: HullForm) -> tuple[RangeNote, ...]:
    """Return one note for every ratio of a hull outside the range of the regression."""
    found = {
        "slenderness": hull.slenderness,
        "beam_draft": hull.beam_waterline / hull.draft_canoe,
        "half_entrance_deg": radians_to_degrees(hull.half_entrance),
        "transom_ratio": hull.transom_ratio,
    }
    return tuple(
        RangeNote(name, found[name], low, high)
        for name, (low, high) in PREPLANING_RANGE.items()
        if not low <= found[name] <= high
    )


def preplaning_rows(hull: HullForm) -> tuple[Array, Array]:
    """Return the volume Froude numbers of the table and ``R/W`` at 100,000 lb at them.

    References
    ----------
    .. [1] J.A. Mercier, D. Savitsky, "Resistance of transom-stern craft in the pre-planing regime", Davidson
       Laboratory Report SIT-DL-73-1667, 1973. From memory, grade B.
    """
    table = load_table("preplaning_1973")
    X = 1.0 / hull.slenderness
    Z = hull.volume_canoe / hull.beam_waterline**3
    U = math.sqrt(2.0 * radians_to_degrees(hull.half_entrance))
    W = hull.transom_ratio
    terms = {
        "a1": 1.0, "a2": X, "a4": U, "a5": W, "a6": X * Z, "a7": X * U, "a8": X * W, "a9": Z * U,
        "a10": Z * W, "a15": W**2, "a18": X * W**2, "a19": Z * X**2, "a24": U * W**2, "a27": W * U**2,
    }  # fmt: skip
    values = table.matrix(*terms) @ np.array(list(terms.values()))
    return table.columns["volume_froude"], values


def preplaning_wetted_area(hull: HullForm) -> float:
    """Return the wetted area of the regression's own formula, in m2.

    ``S / V^(2/3) = 2.262 sqrt(L / V^(1/3)) [1 + 0.046 B/T + 0.00287 (B/T)^2]``.
    """
    ratio = hull.beam_waterline / hull.draft_canoe
    shape = 1.0 + 0.046 * ratio + 0.00287 * ratio**2
    return float(2.262 * math.sqrt(hull.slenderness) * shape * np.cbrt(hull.volume_canoe) ** 2)


def preplaning_resistance(
    hull: HullForm, water: Water, speed: ArrayLike, *, roughness: float = 0.0
) -> Preplaning:
    """Return total bare-hull resistance over weight at full size.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    water : Water
        Density and viscosity; the 100,000 lb boat is taken in the same water.
    speed : float or array
        Not negative. [m/s]
    roughness : float
        Added to the friction coefficient.

    Notes
    -----
    ``R/W = R/W(100k) + [(Cf + dCf) - Cf(100k)] 0.5 S / V^(2/3) FnV^2``.
    """
    from scipy.interpolate import PchipInterpolator

    fnv = volume_froude_number(speed, hull.volume_canoe)
    used = np.clip(fnv, *VOLUME_FROUDE_RANGE)
    reference = as_array(PchipInterpolator(*preplaning_rows(hull))(used))
    coefficient = reference + _size_correction(hull, water, used, roughness)
    return Preplaning(coefficient, (fnv >= VOLUME_FROUDE_RANGE[0]) & (fnv <= VOLUME_FROUDE_RANGE[1]))


def _size_correction(hull: HullForm, water: Water, volume_froude: Array, roughness: float) -> Array:
    speed = not_negative("speed", volume_froude / volume_froude_number(1.0, hull.volume_canoe))
    scale = math.cbrt(REFERENCE_MASS_KG / (water.density * hull.volume_canoe))
    reynolds = speed * hull.length_waterline / water.viscosity
    own = ittc_friction_coefficient(reynolds) + roughness
    reference = ittc_friction_coefficient(reynolds * scale**1.5)
    area = preplaning_wetted_area(hull) / np.cbrt(hull.volume_canoe) ** 2
    return as_array((own - reference) * 0.5 * area * volume_froude**2)
