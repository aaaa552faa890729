"""Depowering: less lift, twist, a lower centre of effort, feathering, and reefing for comparison.

The four act on the coefficients of sails at full power (`SetCoefficients`): `flat` scales the lift, `twist`
lowers the centre of effort at unchanged lift and pays induced drag, `feather` lets a share of the sail shake.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.errors import OutOfRangeError
from cringle.physics.assumptions import AirAssumptions, default_air_assumptions
from cringle.physics.sails import SetCoefficients
from cringle.physics.wind import Quantity

LEAST_FLAT = 0.3
"""Lift left with the sails as flat and as far eased as they still set [1]. Published floors lie between 0.4
and
0.6 (from memory); a lower one is kept here so that a solver sees the whole way to feathering."""

MOST_TWIST = 0.3
"""Largest lowering of the centre of effort by twist alone [1]; beyond, the head sets back to front."""


class Depowered(NamedTuple):
    """Coefficients after depowering: lift and drag [1], height of effort above the waterline [m]."""

    lift: Quantity
    drag: Quantity
    centre_height: Quantity


@dataclass(frozen=True)
class Depower:
    """How far the sails are depowered. The default is full power.

    Parameters
    ----------
    flat : float or array
        Lift over full lift, from `LEAST_FLAT` to 1. [1]
    twist : float or array
        Share by which twist lowers the centre of effort above the sheer, 0 to `MOST_TWIST`. [1]
    feather : float or array
        Share of the lift given up by sailing so high that the luffs shake, 0 to 1. [1]
    """

    flat: Quantity = 1.0
    twist: Quantity = 0.0
    feather: Quantity = 0.0

    def __post_init__(self) -> None:
        for name, low, high in (("flat", LEAST_FLAT, 1.0), ("twist", 0.0, MOST_TWIST), ("feather", 0.0, 1.0)):
            value = np.asarray(getattr(self, name), dtype=float)
            wrong = value[(value < low - 1e-12) | (value > high + 1e-12)]
            if wrong.size:
                raise OutOfRangeError(
                    name,
                    float(wrong.flat[0]),
                    low,
                    high,
                    next_step="reduce sail instead of depowering further",
                )


def centre_height_factor(
    flat: Quantity, foretriangle_fraction: float, assumptions: AirAssumptions | None = None
) -> Quantity:
    """Return the height of the centre of effort after flattening over that at full power [1].

    Notes
    -----
    1 - a (1 - flat) - b (1 - flat)(1 - fraction) with a 0.203 and b 0.451: easing and flattening open the
    head first, most so on a fractional rig. ORC documentation; from memory.
    """
    known = assumptions or default_air_assumptions()
    less = 1.0 - np.asarray(flat)
    fall = known.flat_centre_drop + known.flat_centre_drop_fraction * (1.0 - foretriangle_fraction)
    return (1.0 - less * fall)[()]


def twist_drag_factor(twist: Quantity, assumptions: AirAssumptions | None = None) -> Quantity:
    """Return the induced drag of twisted sails over that of untwisted ones at the same lift [1].

    Notes
    -----
    1 + k t^2, t the share by which the centre of effort falls. Jackson (Chesapeake Sailing Yacht Symposium,
    2001) gives the form; no published k was found. Lifting-line theory gives the least k, see
    `least_twist_penalty`; real twist is not the ideal one, so the table's value is half as large again.
    """
    known = assumptions or default_air_assumptions()
    return 1.0 + known.twist_penalty * np.square(twist)


def least_twist_penalty(terms: int = 200) -> float:
    """Return the smallest possible k of `twist_drag_factor` by lifting-line theory: 8.

    Parameters
    ----------
    terms : int
        Number of harmonics.

    Notes
    -----
    A rig with its mirror image in the water is one symmetric wing of span 2 H. Circulation
    G = sum A_n sin(n theta), n odd, gives lift ~ A_1, induced drag ~ sum n A_n^2, moment about the water ~
    sum m_n A_n with m_n = (s(n - 2) / (n - 2) - s(n + 2) / (n + 2)) / 4, s(k) = sin(k pi / 2), m_1 = 1/3.
    Least drag for a moment lower by the share t: 1 + k t^2, k = m_1^2 / sum_{n>=3} (m_n^2 / n). This is the
    loading of R. T. Jones (NACA TN 2249, 1950; from memory), whose downwash is linear in height.
    """
    n = 2.0 * np.arange(1, terms + 1) + 1.0
    sine = np.sin(n * np.pi / 2.0)
    moment = 0.25 * (-sine / (n - 2.0) + sine / (n + 2.0))
    return float((1.0 / 3.0) ** 2 / np.sum(moment**2 / n))


def depowered(
    full: SetCoefficients,
    depower: Depower,
    *,
    foretriangle_fraction: float,
    freeboard: float,
    assumptions: AirAssumptions | None = None,
) -> Depowered:
    """Return lift, drag and height of effort of sails that are depowered.

    Parameters
    ----------
    full : SetCoefficients
        At full power, from `SailCurves.at` or `set_coefficients`.
    depower : Depower
        How far.
    foretriangle_fraction : float
        From `RigGeometry`. [1]
    freeboard : float
        Height of the sheer; the centre falls towards it. [m]
    assumptions : AirAssumptions, optional
        Values to use instead of the table's.

    Notes
    -----
    CL = s CL_full and CD = CD_parasitic + s^2 (CD_quadratic + CD_induced (1 + k t^2)) + f CD_feather with
    s = flat (1 - f), t twist and f feather. Feathering thus costs less than its lift while the luffs only
    lift, and its own drag grows with the share that shakes.
    """
    known = assumptions or default_air_assumptions()
    scale = np.asarray(depower.flat) * (1.0 - np.asarray(depower.feather))
    induced = full.induced_drag * twist_drag_factor(depower.twist, known)
    drag = (
        full.parasitic_drag
        + scale**2 * (full.quadratic_drag + induced)
        + known.feather_drag * depower.feather
    )
    lower = centre_height_factor(depower.flat, foretriangle_fraction, known) * (
        1.0 - np.asarray(depower.twist)
    )
    height = freeboard + (full.centre_height - freeboard) * lower
    return Depowered((scale * full.lift)[()], drag, height)


def cheapest_twist(
    full: SetCoefficients, depower: Depower, *, angle: Quantity, assumptions: AirAssumptions | None = None
) -> NDArray[np.float64] | float:
    """Return the twist that costs least drive when a heeling moment cannot be exceeded.

    Parameters
    ----------
    full : SetCoefficients
        At full power.
    depower : Depower
        Its `flat` with no twist just holds the moment; its `twist` is not used.
    angle : float or array
        Apparent wind angle in the heeled plane. [rad]
    assumptions : AirAssumptions, optional
        Values to use instead of the table's.

    Returns
    -------
    float or array
        Twist t, 0 to `MOST_TWIST`; lift may then rise to flat / (1 - t) at the same moment. [1]

    Notes
    -----
    With lift scale m / (1 - t) at constant moment the drive is a m / (1 - t) - c m^2 (Q + I (1 + k t^2)) /
    (1 - t)^2, a = CL sin beta, c = cos beta, Q and I quadratic and induced drag. Its derivative vanishes
    where t = (a / m - 2 c (Q + I)) / (a / m + 2 c k I), exactly. Never more than 1 - m, where the lift is
    full again. The fall of the centre with flattening is left out.
    """
    known = assumptions or default_air_assumptions()
    scale = np.asarray(depower.flat) * (1.0 - np.asarray(depower.feather))
    pull = full.lift * np.sin(np.abs(angle)) / np.maximum(scale, 1e-6)
    cosine = np.maximum(np.cos(angle), 0.0)
    lift_drag = 2.0 * cosine * (full.quadratic_drag + full.induced_drag)
    penalty = 2.0 * cosine * known.twist_penalty * full.induced_drag
    best = (pull - lift_drag) / np.maximum(pull + penalty, 1e-9)
    return np.clip(best, 0.0, np.minimum(MOST_TWIST, 1.0 - scale))[()]


def flat_and_reef(
    full: SetCoefficients, *, flat: Quantity, reef: Quantity, windage: Quantity = 0.0
) -> Depowered:
    """Return coefficients depowered by flattening and by reefing, in the older form kept for comparison.

    Parameters
    ----------
    full : SetCoefficients
        At full power.
    flat : float or array
        Lift over full lift. [1]
    reef : float or array
        Linear scale of the sail plan, 1 to about 0.5. [1]
    windage : float or array
        Drag coefficient that does not shrink with the sails. [1]

    Notes
    -----
    CL = flat reef^2 CL_full, CD = reef^2 (CDp + flat^2 CDI) + CD0, height of effort times reef. Kerwin,
    Massachusetts Institute of Technology report 78-11, 1978; from memory. This boat has no reef; the model
    itself uses `depowered`.
    """
    area = np.square(reef)
    lift_drag = np.square(flat) * (full.quadratic_drag + full.induced_drag)
    return Depowered(
        flat * area * full.lift, area * (full.parasitic_drag + lift_drag) + windage, full.centre_height * reef
    )
