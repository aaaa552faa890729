"""Side force of keel and rudder, the leeway that makes it, and its cap at the stall."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.physics.arrays import Array, as_array, not_negative, require_positive
from cringle.physics.foils import Appendages, Foil
from cringle.physics.friction import canoe_wetted_area
from cringle.physics.hull_form import HullForm
from cringle.physics.tables import load_table
from cringle.physics.water import Water
from cringle.physics.water_assumptions import WaterAssumptions, default_water_assumptions
from cringle.units import degrees_to_radians

LOWEST_HEEL_SHARE = 0.3
"""The loss of lift with heel stops here, far beyond any heel one sails at, so that lift never turns over."""


@dataclass(frozen=True)
class LateralPlane:
    """What makes side force.

    Parameters
    ----------
    appendages : Appendages
        Keel and rudder, extended to the waterline.
    beam_draft : float
        Bwl over Tc of the canoe body, for the leeway that heel alone causes.
    assumptions : WaterAssumptions
        Wake at the rudder, largest lift coefficient, what heel takes from the lift.
    """

    appendages: Appendages
    beam_draft: float
    assumptions: WaterAssumptions = field(default_factory=default_water_assumptions)

    def __post_init__(self) -> None:
        require_positive(beam_draft=self.beam_draft)


@dataclass(frozen=True)
class SideForce:
    """Side force normal to the centre plane. Arrays of the broadcast shape.

    Parameters
    ----------
    keel, rudder : array
        [N] Positive to windward for positive leeway.
    stalled : bool array
        Whether keel or rudder is at its cap.
    """

    keel: Array
    rudder: Array
    stalled: NDArray[np.bool_]

    @property
    def total(self) -> Array:
        """Keel and rudder together, in N."""
        return self.keel + self.rudder


@dataclass(frozen=True)
class Leeway:
    """Leeway for a wanted side force. Arrays of the broadcast shape.

    Parameters
    ----------
    angle : array
        [rad]
    stalled : bool array
        Whether the force is more than the foils can make at this speed; the angle is then that of the cap.
    """

    angle: Array
    stalled: NDArray[np.bool_]


def lift_slope(aspect_ratio: ArrayLike, *, sweep: ArrayLike = 0.0) -> Array:
    """Return the lift slope of a low-aspect control surface, per rad.

    ``5.7 A / [1.8 + cos L sqrt(A^2 / cos^4 L + 4)]``.

    Parameters
    ----------
    aspect_ratio : float or array
        Effective, span to the mirror and back over mean chord.
    sweep : float or array
        Of the quarter-chord line. [rad]

    References
    ----------
    .. [1] L.F. Whicker, L.F. Fehlner, "Free-stream characteristics of a family of low-aspect-ratio,
       all-movable control surfaces", David Taylor Model Basin Report 933, 1958. From memory, grade A.
    """
    ratio, cosine = not_negative("aspect_ratio", aspect_ratio), np.cos(as_array(sweep))
    return as_array(5.7 * ratio / (1.8 + cosine * np.sqrt(ratio**2 / cosine**4 + 4.0)))


def foil_lift_slope(foil: Foil) -> float:
    """Return the lift slope of a keel or rudder extended to the waterline, per rad."""
    return float(lift_slope(foil.aspect_ratio, sweep=foil.sweep))


def downwash(lift_coefficient: ArrayLike, aspect_ratio: ArrayLike) -> Array:
    """Return the downwash far behind a foil, ``2 CL / (pi A)``, in rad.

    Parameters
    ----------
    lift_coefficient, aspect_ratio : float or array
        Of the foil ahead.

    References
    ----------
    .. [1] Lifting-line theory, far wake.
    """
    return 2.0 * as_array(lift_coefficient) / (np.pi * as_array(aspect_ratio))


def heel_lift_share(plane: LateralPlane, heel: ArrayLike) -> Array:
    """Return the share of the upright lift that is left at a heel, even in heel.

    Parameters
    ----------
    plane : LateralPlane
        Gives the loss per radian.
    heel : float or array
        [rad]
    """
    loss = plane.assumptions.heel_lift_loss * np.abs(as_array(heel))
    return np.maximum(1.0 - loss, LOWEST_HEEL_SHARE)


def zero_force_leeway(plane: LateralPlane, heel: ArrayLike) -> Array:
    """Return the leeway at which a heeled boat makes no side force, odd in heel, in rad.

    Parameters
    ----------
    plane : LateralPlane
        Gives Bwl over Tc.
    heel : float or array
        Positive to leeward. [rad]
    """
    return plane.assumptions.heel_leeway * plane.beam_draft * as_array(heel)


def side_force(
    plane: LateralPlane,
    water: Water,
    speed: ArrayLike,
    *,
    leeway: ArrayLike,
    heel: ArrayLike = 0.0,
    rudder_angle: ArrayLike = 0.0,
) -> SideForce:
    """Return the side force of keel and rudder at a leeway.

    Parameters
    ----------
    plane : LateralPlane
        Keel, rudder, beam over draft.
    water : Water
        Density.
    speed : float or array
        Not negative. [m/s]
    leeway : float or array
        Positive when the boat slides to leeward. [rad]
    heel : float or array
        Positive to leeward. [rad]
    rudder_angle : float or array
        Adds to the rudder's incidence, positive for more side force (weather helm). [rad]

    Notes
    -----
    Extended keel method: keel and rudder mirrored at the waterline. The rudder works in a share of the
    boat's speed and in the keel's downwash.

    References
    ----------
    .. [1] J. Gerritsma, "Course keeping qualities and motions in waves of a sailing yacht", Delft, 1971.
    """
    incidence = as_array(leeway) - zero_force_leeway(plane, heel)
    share, stall = heel_lift_share(plane, heel), plane.assumptions.stall_lift_coefficient
    keel, rudder = plane.appendages.keel, plane.appendages.rudder
    keel_free = foil_lift_slope(keel) * incidence * share
    keel_lift = np.clip(keel_free, -stall, stall)
    behind = incidence - downwash(keel_lift, keel.aspect_ratio) + as_array(rudder_angle)
    rudder_free = foil_lift_slope(rudder) * behind * share
    rudder_lift = np.clip(rudder_free, -stall, stall)
    pressure = 0.5 * water.density * not_negative("speed", speed) ** 2
    return SideForce(
        keel=pressure * keel.area_to_waterline * keel_lift,
        rudder=pressure * plane.assumptions.rudder_wake**2 * rudder.area_to_waterline * rudder_lift,
        stalled=(np.abs(keel_free) > stall) | (np.abs(rudder_free) > stall),
    )


def force_area_slope(plane: LateralPlane) -> float:
    """Return side force over dynamic pressure and leeway, upright with the rudder amidships, in m2/rad."""
    return float(side_force_slope(plane, 0.0))


def carry_over_area_slope(keel: Foil, canoe_draft: float) -> float:
    """Return the keel's force over dynamic pressure and leeway the other way, in m2/rad; for comparison.

    The keel proper, not extended, times ``1 + 1.80 Tc / span`` for the lift it induces on the hull.

    Parameters
    ----------
    keel : Foil
        Span, chords, sweep.
    canoe_draft : float
        Tc. [m]

    References
    ----------
    .. [1] J.A. Keuning, B. Verwerft, Chesapeake Sailing Yacht Symposium, 2009. From memory, grade C.
    """
    require_positive(canoe_draft=canoe_draft)
    proper = replace(keel, root_depth=0.0)
    return proper.area_to_waterline * foil_lift_slope(proper) * (1.0 + 1.80 * canoe_draft / keel.span)


def leeway_for_side_force(
    plane: LateralPlane, water: Water, speed: ArrayLike, *, force: ArrayLike, heel: ArrayLike = 0.0
) -> Leeway:
    """Return the leeway at which keel and rudder amidships make a wanted side force.

    Parameters
    ----------
    plane : LateralPlane
        Keel, rudder, beam over draft.
    water : Water
        Density.
    speed : float or array
        Not negative; at rest any force is beyond the cap. [m/s]
    force : float or array
        Normal to the centre plane, positive to windward. [N]
    heel : float or array
        Positive to leeward. [rad]

    Notes
    -----
    Up to the cap the inverse is a straight line.
    """
    share = heel_lift_share(plane, heel)
    keel_slope = foil_lift_slope(plane.appendages.keel) * share
    slope = side_force_slope(plane, heel)
    pressure = 0.5 * water.density * not_negative("speed", speed) ** 2
    wanted = as_array(force)
    with np.errstate(divide="ignore", invalid="ignore"):
        free = np.where(wanted == 0.0, 0.0, wanted / (pressure * slope))
    limit = plane.assumptions.stall_lift_coefficient / keel_slope
    angle = np.clip(free, -limit, limit) + zero_force_leeway(plane, heel)
    return Leeway(angle, np.abs(free) > limit)


def side_force_slope(plane: LateralPlane, heel: ArrayLike) -> Array:
    """Return side force over dynamic pressure and leeway at a heel [rad], rudder amidships, in m2/rad."""
    share = heel_lift_share(plane, heel)
    keel, rudder = plane.appendages.keel, plane.appendages.rudder
    keel_slope = foil_lift_slope(keel) * share
    left = 1.0 - downwash(keel_slope, keel.aspect_ratio)
    rudder_slope = foil_lift_slope(rudder) * share * left
    return as_array(
        keel.area_to_waterline * keel_slope
        + plane.assumptions.rudder_wake**2 * rudder.area_to_waterline * rudder_slope
    )


def largest_side_force(plane: LateralPlane, water: Water, speed: ArrayLike, heel: ArrayLike = 0.0) -> Array:
    """Return the side force at which the keel reaches its cap, rudder amidships, in N.

    Parameters
    ----------
    plane : LateralPlane
        Keel, rudder, cap.
    water : Water
        Density.
    speed : float or array
        Not negative. [m/s]
    heel : float or array
        [rad]
    """
    share = heel_lift_share(plane, heel)
    limit = plane.assumptions.stall_lift_coefficient / (foil_lift_slope(plane.appendages.keel) * share)
    pressure = 0.5 * water.density * not_negative("speed", speed) ** 2
    return pressure * side_force_slope(plane, heel) * limit


def side_force_1998(
    hull: HullForm, draft: float, water: Water, speed: ArrayLike, *, leeway: ArrayLike, heel: ArrayLike = 0.0
) -> Array:
    """Return the horizontal side force by the 1998 systematic-series form, in N; for comparison only.

    It knows no chord and gives about 2.5 times too much for a modern narrow keel.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    draft : float
        Total draft. [m]
    water : Water
        Density.
    speed : float or array
        Not negative. [m/s]
    leeway : float or array
        [rad]
    heel : float or array
        Either side, held at 30 degrees. [rad]

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory, grade B.
    """
    area = canoe_wetted_area(hull)
    bracket = side_force_bracket(draft**2 / area, hull.draft_canoe / draft, heel)
    pressure = 0.5 * water.density * not_negative("speed", speed) ** 2
    return as_array(pressure * area * as_array(leeway) * bracket)


def side_force_bracket(draft_squared_over_area: float, canoe_share: float, heel: ArrayLike) -> Array:
    """Return ``b1 X + b2 X^2 + b3 Tc/T + b4 X Tc/T`` of the 1998 form, between its heel rows.

    Parameters
    ----------
    draft_squared_over_area : float
        ``X = T^2 / Sc``.
    canoe_share : float
        ``Tc / T``.
    heel : float or array
        Either side. [rad]
    """
    table, x = load_table("side_force_1998"), draft_squared_over_area
    rows = table.matrix("b1", "b2", "b3", "b4") @ np.array([x, x**2, canoe_share, x * canoe_share])
    return as_array(np.interp(np.abs(as_array(heel)), degrees_to_radians(table.columns["heel_deg"]), rows))
