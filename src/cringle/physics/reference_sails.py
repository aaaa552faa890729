"""An older published sail model, kept to compare the present one with.

Hazen's coefficient set with its own sum: lift and drag on a nominal area, induced drag through an aspect
ratio, and hull and mast windage inside CD0 (so never add `cringle.physics.windage` to it).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from cringle.errors import InputError
from cringle.physics.sails import SetCoefficients, sail_coefficients
from cringle.physics.wind import Quantity

QUADRATIC_DRAG = 0.005
"""Viscous drag that grows with lift squared [1]. Hazen 1980; from memory."""

HEIGHT_EFFICIENCY = 1.1
"""Effective over geometric height of the rig [1]. Hazen 1980; from memory."""

BLUFF_DRAG = 1.13
"""Drag coefficient of hull and mast on projected area [1]. Hazen 1980; from memory."""

EFFORT_SHARE_MAIN, EFFORT_SHARE_JIB = 0.39, 0.39
"""Height of effort over hoist [1]. Hazen 1980; from memory."""

LEAST_ANGLE = np.radians(20.0)
"""Apparent wind angle below which the set is not valid [rad]. Hazen 1980; from memory."""


@dataclass(frozen=True)
class ReferenceRig:
    """Main and jib as the older model sees them, lengths in metres and areas in square metres.

    Parameters
    ----------
    main_area, jib_area : float
        Sail areas. [m2]
    mainsail_hoist, foretriangle_height, foretriangle_base : float
        P, I and J of the measurement rules. [m]
    boom_above_deck, mast_height, mast_diameter : float
        BAD, mast height above deck and mean mast diameter. [m]
    beam, freeboard : float
        Of the hull. [m]
    """

    main_area: float
    jib_area: float
    mainsail_hoist: float
    foretriangle_height: float
    foretriangle_base: float
    boom_above_deck: float
    mast_height: float
    mast_diameter: float
    beam: float
    freeboard: float

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            if not getattr(self, name) > 0.0:
                raise InputError(
                    f"rig {name}: found {getattr(self, name)}, accepted more than 0",
                    next_step="measure it and enter it in metres",
                )

    @property
    def nominal_area(self) -> float:
        """Mainsail plus foretriangle, the reference of all coefficients [m2]."""
        return self.main_area + 0.5 * self.foretriangle_height * self.foretriangle_base


class ReferenceSum(NamedTuple):
    """Coefficients on the nominal area, the windage part of the drag, and the aspect ratio."""

    full: SetCoefficients
    windage: float
    aspect_ratio: float

    @property
    def drag(self) -> Quantity:
        """All drag, windage included."""
        return self.full.drag + self.windage


def reference_sum(rig: ReferenceRig, angle: Quantity, *, close_hauled: bool) -> ReferenceSum:
    """Return the sum of main and jib by the older model.

    Parameters
    ----------
    rig : ReferenceRig
        The rig.
    angle : float or array
        Apparent wind angle in the heeled plane, NaN below 20 degrees where the set is not valid. [rad]
    close_hauled : bool
        True: the gap to the water is sealed and the freeboard counts as height.

    Notes
    -----
    A = A_main + I J / 2; CL = sum CL_i A_i / A; CDI = CL^2 (1 / (pi AR) + 0.005); AR = (1.1 h)^2 / A with h
    the mast height, plus the freeboard when close-hauled; CD0 = 1.13 (freeboard beam + mast height diameter)
    / A. Centre weighted with CL_i A_i, above deck. G. S. Hazen, "A model of sail aerodynamics for diverse
    rig types", Chesapeake Sailing Yacht Symposium, 1980; from memory.
    """
    valid = np.where(np.abs(angle) >= LEAST_ANGLE, angle, np.nan)[()]
    main = sail_coefficients("main_reference", valid)
    jib = sail_coefficients("jib_blanketed", valid)
    area = rig.nominal_area
    lift = (main.lift * rig.main_area + jib.lift * rig.jib_area) / area
    drag = (main.drag * rig.main_area + jib.drag * rig.jib_area) / area
    height = rig.mast_height + (rig.freeboard if close_hauled else 0.0)
    aspect = (HEIGHT_EFFICIENCY * height) ** 2 / area
    windage = BLUFF_DRAG * (rig.freeboard * rig.beam + rig.mast_height * rig.mast_diameter) / area
    full = SetCoefficients(
        lift,
        drag,
        QUADRATIC_DRAG * lift**2,
        lift**2 / (np.pi * aspect),
        _centre(rig, main.lift, jib.lift),
        np.nan,
    )
    return ReferenceSum(full, windage, aspect)


def _centre(rig: ReferenceRig, main_lift: Quantity, jib_lift: Quantity) -> Quantity:
    main_height = EFFORT_SHARE_MAIN * rig.mainsail_hoist + rig.boom_above_deck
    jib_height = EFFORT_SHARE_JIB * rig.foretriangle_height
    main_weight, jib_weight = main_lift * rig.main_area, jib_lift * rig.jib_area
    with np.errstate(invalid="ignore", divide="ignore"):
        return (main_weight * main_height + jib_weight * jib_height) / (main_weight + jib_weight)
