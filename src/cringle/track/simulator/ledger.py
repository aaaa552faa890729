"""Where a simulated boat's time went, from her signals without noise, in the shares of a debrief's ledger."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.noise import SimWind
from cringle.track.simulator.sail import Sailed, SimLeg
from cringle.track.simulator.turns import DIP_DEEPEST_S, RECOVERY_S, SimManoeuvre
from cringle.units import degrees_to_radians, metres_per_second_to_knots, wrap_signed_degrees

Array = NDArray[np.float64]

ENTRY_S: Final = 5
RECOVERED_SHARE: Final = 0.05
"""A manoeuvre is charged from 5 s before the wind crosses until 95 % of the speed is back."""

PARTS: Final = (
    "heel",
    "angle",
    "trim",
    "tack",
    "gybe",
    "set",
    "drop",
    "extra_distance",
    "stopped",
    "unknown",
)
"""The names of the parts, as a debrief has them."""


def window_of(one: SimManoeuvre) -> tuple[int, int]:
    """Return the first row of a manoeuvre and the one after its last."""
    recovery = RECOVERY_S * float(np.log(max(one.dip / RECOVERED_SHARE, 1.0)))
    return one.row - ENTRY_S, one.row + int(np.ceil(DIP_DEEPEST_S + recovery))


def true_ledger(polar: FrozenPolar, sailed: Sailed, wind: SimWind, number: int) -> dict[str, float]:
    """Return the seconds lost to each cause on beats and runs against the polar's targets, and their total.

    Parameters
    ----------
    polar : FrozenPolar
        What the boat was simulated with.
    sailed : Sailed
        The boat.
    wind : SimWind
        The wind.
    number : int
        Which boat.

    Notes
    -----
    Each second on a leg costs ``1 - VMG / target VMG``, to windward or leeward of the wind at that moment.
    Outside manoeuvres it is split by going through the polar from the target to what was sailed: target heel
    to sailed heel, target angle to sailed angle, the polar's speed to the boat's. A manoeuvre takes seconds
    of its own leg only.
    """
    seconds = dict.fromkeys(PARTS, 0.0)
    for leg in sailed.legs:
        if leg.kind == "reach":
            continue
        rows = np.arange(leg.start, leg.end)
        parts, lost = _shares(polar, sailed, wind.strength_kn[number, rows], rows, upwind=leg.kind == "up")
        turning = np.zeros(rows.size, dtype=bool)
        for first, end, kind in _charged(sailed, leg):
            inside = (rows >= first) & (rows < end) & ~turning
            seconds[kind] += float(lost[inside].sum())
            turning |= inside
        for name, share in parts.items():
            seconds[name] += float(share[~turning].sum())
    return {**seconds, "total": sum(seconds.values())}


def _charged(sailed: Sailed, leg: SimLeg) -> list[tuple[int, int, str]]:
    """Return the rows of a leg that manoeuvres, sets and drops take whole: tacks and gybes go first."""
    turns = [(*window_of(one), one.kind) for one in sailed.manoeuvres if leg.start <= one.row < leg.end]
    kites = [
        (one.first, one.end, one.kind)
        for one in sailed.handlings
        if one.first < leg.end and one.end > leg.start
    ]
    return [*turns, *kites]


def _shares(
    polar: FrozenPolar, sailed: Sailed, wind_kn: Array, rows: NDArray[np.intp], *, upwind: bool
) -> tuple[dict[str, Array], Array]:
    """Return the share of each second lost to heel, angle and trim, and to everything."""
    target = polar.target(wind_kn, upwind=upwind)
    angle = np.abs(wrap_signed_degrees(sailed.angle_deg[rows]))
    side = np.sign(wrap_signed_degrees(sailed.angle_deg[rows]))
    heel = -side * sailed.roll_deg[rows]
    sign = 1.0 if upwind else -1.0

    def good(at_angle: Array, speed_kn: Array) -> Array:
        return np.asarray(sign * speed_kn * np.cos(degrees_to_radians(at_angle)) / base)

    base = np.abs(
        polar.speed(wind_kn, target.angle_deg, target.heel_deg) * np.cos(degrees_to_radians(target.angle_deg))
    )
    heeled = good(target.angle_deg, polar.speed(wind_kn, target.angle_deg, heel))
    steered = good(angle, polar.speed(wind_kn, angle, heel))
    made = good(angle, metres_per_second_to_knots(sailed.speed[rows]))
    return {"heel": 1.0 - heeled, "angle": heeled - steered, "trim": steered - made}, 1.0 - made
