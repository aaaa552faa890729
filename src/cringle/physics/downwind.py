"""Sails before the wind: the kite to windward of the main, and the jib between main and kite.

Nothing was published on either; the shapes below are assumed, their numbers and spreads stand in the table of
assumptions. The anchors are bluff bodies: on projected area a square plate drags 1.17 and a hollow
hemisphere, cup to the flow, 1.42 (Matthews, Aeronautical Engineer's Data Book). On a dead run only the
projected area of a kite matters (Lasher et al., J. Wind Eng. Ind. Aerodyn. 93, 2005, pp. 311-337).
"""

from __future__ import annotations

import numpy as np

from cringle.physics.assumptions import AirAssumptions, default_air_assumptions
from cringle.physics.curves import linear_step, smooth_step
from cringle.physics.sails import LiftDrag, Sail, sail_coefficients
from cringle.physics.wind import Quantity

HOLLOW_HEMISPHERE_DRAG = 1.42
"""Drag coefficient of a hollow hemisphere, cup to the flow, on projected area [1]: no kite can drag more.
Matthews, Aeronautical Engineer's Data Book, 2002."""

PROJECTED_SHARE_OF_KITE = 0.8
"""Projected area of a kite square to the wind over its sail area [1]. Estimate."""


def wing_share(angle: Quantity, assumptions: AirAssumptions | None = None) -> Quantity:
    """Return how far a kite to windward works as on a square run: 0 below the fade, 1 beyond it."""
    known = assumptions or default_air_assumptions()
    return linear_step(np.abs(angle), known.wing_fade_from, known.wing_full_from)


def wing_kite_drag(assumptions: AirAssumptions | None = None) -> float:
    """Return the drag coefficient of a kite to windward on a square run, on sail area.

    Notes
    -----
    The assumed value, but never more than a hollow hemisphere would drag on the kite's projected area.
    """
    known = assumptions or default_air_assumptions()
    return min(known.wing_kite_drag, HOLLOW_HEMISPHERE_DRAG * PROJECTED_SHARE_OF_KITE)


def jib_exposure(angle: Quantity, assumptions: AirAssumptions | None = None) -> Quantity:
    """Return the share of clean air that reaches a jib between main and kite [1].

    Notes
    -----
    Constant up to where the kite's and the main's lee begin to cover it, falling smoothly to 0. Assumed; no
    publication on the jib between main and kite was found.
    """
    known = assumptions or default_air_assumptions()
    shadow = smooth_step(np.abs(angle), known.jib_shadow_from, known.jib_shadow_to)
    return known.jib_exposure_beside_kite * (1.0 - shadow)


def kite_downwash(kite_lift: Quantity, kite_area: float, height: Quantity) -> Quantity:
    """Return by how much the kite turns the wind at its own place, towards the bow [rad].

    Parameters
    ----------
    kite_lift : float or array
        Lift coefficient of the kite, less that of a shaking one. [1]
    kite_area : float
        [m2]
    height : float or array
        Effective height of the rig. [m]

    Notes
    -----
    ``CL A / (pi H^2)``, lifting-line theory; nothing far ahead of the kite, twice as much far behind. A kite
    without lift turns nothing.
    """
    return np.maximum(kite_lift, 0.0) * kite_area / (np.pi * np.square(height))


def jib_coefficients(
    jib: Sail,
    angle: Quantity,
    *,
    beside_kite: bool,
    turned: Quantity = 0.0,
    assumptions: AirAssumptions | None = None,
) -> LiftDrag:
    """Return the coefficients of the jib where it stands: ahead of the main, or between main and kite.

    Notes
    -----
    `turned` [rad] is by how much the kite turns the wind at the jib towards the bow: its coefficients are
    those of the smaller angle. The tilt of its lift is part of the induced drag of the set and is not in
    here, and who covers whom goes with the wind outside.

    Alone with the main the unblanketed set holds, fading smoothly to nothing from the angle at which the
    main takes its wind to half a turn. Beside a kite it is a mix of the unblanketed set and of the set that
    contains the main's blanketing, in the share `jib_exposure`.
    """
    known = assumptions or default_air_assumptions()
    felt = np.abs(angle) - turned
    clean = sail_coefficients(jib.coefficient_set, np.maximum(felt, 0.0))
    if not beside_kite:
        left = 1.0 - smooth_step(np.abs(angle), known.jib_blanketed_from, np.pi)
        return LiftDrag(clean.lift * left, clean.drag * left)
    covered = sail_coefficients("jib_blanketed", np.maximum(felt, 0.0))
    share = jib_exposure(angle, known)
    return LiftDrag(
        share * clean.lift + (1.0 - share) * covered.lift, share * clean.drag + (1.0 - share) * covered.drag
    )
