"""The sum of the sails set together, exact and tabulated once for a whole grid.

Each sail's coefficients are weighted by its area. Blanketing, the kite carried to windward, and what a jib
under a kite gains and costs are functions of the apparent wind angle alone, so that a whole set becomes a
few curves.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from cringle.physics.assumptions import AirAssumptions, default_air_assumptions
from cringle.physics.curves import UniformCurves, grid_angles, linear_step
from cringle.physics.downwind import jib_coefficients, kite_downwash, wing_kite_drag, wing_share
from cringle.physics.sails import (
    Arrangement,
    Gear,
    RigGeometry,
    Sail,
    SailSet,
    SetCoefficients,
    sail_coefficients,
)
from cringle.physics.wind import Quantity

ROACH_OF_PLAIN_MAIN = 0.2
"""Roach from which the effective height is counted [1]. Claughton and Fossati, HISWA 2008; from memory."""


class _Part(NamedTuple):
    sail: Sail
    lift: Quantity
    drag: Quantity
    quadratic: float


def effective_height(
    rig: RigGeometry, mainsail_area: float, angle: Quantity, assumptions: AirAssumptions | None = None
) -> Quantity:
    """Return the height that gives the induced drag of the rig, A CL^2 / (pi H^2).

    Parameters
    ----------
    rig : RigGeometry
        The rig.
    mainsail_area : float
        For the roach. [m2]
    angle : float or array
        Apparent wind angle in the heeled plane. [rad]
    assumptions : AirAssumptions, optional
        Values to use instead of the table's.

    Returns
    -------
    float or array
        H_eff. [m]

    Notes
    -----
    Close-hauled H = c (b + freeboard) with c = 1.10 + 0.08 (roach - 0.2) + 0.5 (0.68 + 0.31 fraction
    + 0.075 overlap - 1.10): deck and water mirror the rig. With the sheets freed the gap opens and H = c b.
    Between the two angles of the table the change is linear. Claughton, Fossati et al., HISWA 2008; from
    memory. The open-gap end follows Hazen 1980, who drops the freeboard (from memory).
    """
    known = assumptions or default_air_assumptions()
    roach = 0.08 * (rig.roach(mainsail_area) - ROACH_OF_PLAIN_MAIN)
    sails = 0.5 * (0.68 + 0.31 * rig.foretriangle_fraction + 0.075 * rig.jib_overlap - 1.10)
    factor = (1.10 + roach + sails) * known.effective_height_factor
    openness = linear_step(np.abs(angle), known.gap_sealed_until, known.gap_open_from)
    return factor * (rig.mast_height + rig.freeboard * (1.0 - openness))


def set_coefficients(
    sails: SailSet, rig: RigGeometry, *, angle: Quantity, assumptions: AirAssumptions | None = None
) -> SetCoefficients:
    """Return lift, drag by kind, and centre of effort of sails set together, at full power.

    Parameters
    ----------
    sails : SailSet
        What is set, how arranged, in which gear.
    rig : RigGeometry
        For the induced drag.
    angle : float or array
        Apparent wind angle in the heeled plane, either side. [rad]
    assumptions : AirAssumptions, optional
        Values to use instead of the table's.

    Returns
    -------
    SetCoefficients
        On the sum of the areas; NaN beyond half a turn.

    Notes
    -----
    CL = sum CL_i A_i / A, parasitic and quadratic drag likewise with quadratic drag k_i CL_i^2, induced drag
    CL^2 A / (pi H_eff^2). The centre is weighted with area times the force coefficient of each sail. Windage
    is not in here. ORC documentation; form from memory.
    """
    known = assumptions or default_air_assumptions()
    height = effective_height(rig, sails.main.area, angle, known)
    parts = _parts(sails, np.abs(angle), known, height=height)
    area = sails.area
    lift = sum(one.lift * one.sail.area for one in parts) / area
    parasitic = sum(one.drag * one.sail.area for one in parts) / area
    quadratic = sum(one.quadratic * one.lift**2 * one.sail.area for one in parts) / area
    weights = [np.hypot(one.lift, one.drag) * one.sail.area for one in parts]
    total = sum(weights)
    up = sum(w * one.sail.centre_height for w, one in zip(weights, parts, strict=True)) / total
    forward = sum(w * one.sail.centre_forward for w, one in zip(weights, parts, strict=True)) / total
    return SetCoefficients(lift, parasitic, quadratic, lift**2 * area / (np.pi * height**2), up, forward)


def _parts(sails: SailSet, angle: Quantity, known: AirAssumptions, *, height: Quantity) -> list[_Part]:
    parts = [_main_part(sails, angle, known)]
    turned: Quantity = 0.0
    if sails.kite is not None:
        kite = _kite_part(sails, sails.kite, angle, known)
        parts.append(kite)
        shaking = _kite_part(sails, sails.kite, np.float64(0.0), known).lift
        turned = known.jib_downwash_share * kite_downwash(kite.lift - shaking, kite.sail.area, height)
    if sails.jib is not None:
        parts.append(_jib_part(sails, sails.jib, angle, known, turned=turned))
    return parts


def _gear(sails: SailSet, known: AirAssumptions) -> tuple[float, float, float]:
    if sails.gear is Gear.BUILD:
        return known.build_lift_factor, known.build_drag_factor, known.build_angle
    return 1.0, 1.0, 0.0


def _wing(sails: SailSet, angle: Quantity, known: AirAssumptions) -> Quantity:
    return wing_share(angle, known) if sails.arrangement is Arrangement.WING else 0.0


def _main_part(sails: SailSet, angle: Quantity, known: AirAssumptions) -> _Part:
    lift_factor, drag_factor, later = _gear(sails, known)
    here = sail_coefficients(sails.main.coefficient_set, angle)
    fuller = here
    if later != 0.0:
        fuller = sail_coefficients(sails.main.coefficient_set, np.maximum(angle - later, 0.0))
    wing = _wing(sails, angle, known)
    lift = fuller.lift * lift_factor * known.main_lift_factor * (1.0 - wing)
    drag = here.drag * drag_factor * known.main_drag_factor
    return _Part(sails.main, lift, drag + wing * (known.wing_main_drag - drag), known.main_quadratic_drag)


def _jib_part(
    sails: SailSet, jib: Sail, angle: Quantity, known: AirAssumptions, *, turned: Quantity
) -> _Part:
    lift_factor, drag_factor, later = _gear(sails, known)
    beside = sails.kite is not None
    here = jib_coefficients(jib, angle, beside_kite=beside, turned=turned, assumptions=known)
    fuller = here
    if later != 0.0:
        sooner = np.maximum(angle - later, 0.0)
        fuller = jib_coefficients(jib, sooner, beside_kite=beside, turned=turned, assumptions=known)
    lift = fuller.lift * lift_factor * known.jib_lift_factor * (1.0 - _wing(sails, angle, known))
    return _Part(jib, lift, here.drag * drag_factor * known.jib_drag_factor, known.jib_quadratic_drag)


def _kite_part(sails: SailSet, kite: Sail, angle: Quantity, known: AirAssumptions) -> _Part:
    here = sail_coefficients(kite.coefficient_set, angle)
    wing = _wing(sails, angle, known)
    kept = 1.0 if sails.jib is None else 1.0 - known.kite_loss_to_jib
    lift = here.lift * known.kite_lift_factor * kept * (1.0 - wing)
    drag = here.drag * known.kite_drag_factor
    return _Part(kite, lift, kept * (drag + wing * (wing_kite_drag(known) - drag)), known.kite_quadratic_drag)


@dataclass(frozen=True)
class SailCurves:
    """The sails of one set as curves over the apparent wind angle, tabulated once.

    A grid of winds, angles, heels and speeds reads the sails millions of times; here each reading is one
    multiplication to find the place and one straight line per curve. Agreement with `set_coefficients` is
    better than 3e-5 of the largest value of each curve, 2e-4 for the centres (tested); below 3 degrees of
    apparent angle, where the forces on the shaking sails turn over, the centres agree to 2e-3.

    Parameters
    ----------
    sails : SailSet
        What is set.
    rig : RigGeometry
        The rig.
    assumptions : AirAssumptions
        Coefficients in force; one member of an ensemble has its own curves.
    """

    sails: SailSet
    rig: RigGeometry
    assumptions: AirAssumptions = field(default_factory=default_air_assumptions, repr=False)
    curves: UniformCurves = field(init=False, repr=False)

    def __post_init__(self) -> None:
        exact = set_coefficients(self.sails, self.rig, angle=grid_angles(), assumptions=self.assumptions)
        object.__setattr__(self, "curves", UniformCurves(np.stack(exact)))

    def at(self, angle: Quantity) -> SetCoefficients:
        """Return the coefficients of the set at angles [rad] in the heeled plane, either side alike."""
        return SetCoefficients(*self.curves.at(angle))
