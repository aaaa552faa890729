"""A simulated tack or gybe: the path of the angle, the dip of the speed, and the metres it costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.units import degrees_to_radians

Array = NDArray[np.float64]

TURN_S: Final = {"tack": 7.0, "gybe": 8.0}
"""How long the bow takes from one side to the other [s] (judgement: a light keelboat)."""

BEFORE_S: Final = 5
AFTER_S: Final = 45
"""The loss is summed from 5 s before to 45 s after the wind crosses, or to the next manoeuvre."""

DIP_BEGINS_S: Final = -2.0
DIP_DEEPEST_S: Final = 3.0
RECOVERY_S: Final = 9.0
"""Speed falls from 2 s before the crossing to 3 s after it, then comes back with this memory [s]."""

OVERSHOOT_DEG: Final = (2.0, 9.0)
OVERSHOOT_S: Final = 8.0
"""Upwind the boat comes out too low by so much, and heads up with this memory [s]."""

LARGEST_DIP: Final = {"tack": 0.85, "gybe": 0.7}
SMALLEST_DIP: Final = 0.03


@dataclass(frozen=True)
class SimManoeuvre:
    """One simulated manoeuvre: row of the crossing, ``tack`` or ``gybe``, metres and share of speed lost."""

    row: int
    kind: str
    metres_lost: float
    dip: float


@dataclass
class Path:
    """One leg, one row a second: signed angle to the wind [deg], speed [m/s], heel to port positive [deg].

    The angle is unwound: a gybe from starboard passes 180 and ends beyond it.
    """

    angle_deg: Array
    speed: Array
    roll_deg: Array


def dip_shape(seconds: Array) -> Array:
    """Return the dip of the speed, 0 before, 1 at its deepest, dying away after."""
    entry = np.clip((seconds - DIP_BEGINS_S) / (DIP_DEEPEST_S - DIP_BEGINS_S), 0.0, 1.0)
    fall = 0.5 - 0.5 * np.cos(np.pi * entry)
    return np.where(seconds <= DIP_DEEPEST_S, fall, np.exp(-(seconds - DIP_DEEPEST_S) / RECOVERY_S))


def turn(path: Path, row: int, kind: str, *, wanted_m: float, overshoot_deg: float) -> SimManoeuvre:
    """Put a manoeuvre into a path that is on its new side from `row` on already.

    Parameters
    ----------
    path : Path
        Changed in place around `row`.
    row : int
        Where the wind crosses.
    kind : str
        ``tack`` or ``gybe``.
    wanted_m : float
        Metres to be lost to windward, or to leeward; the depth of the dip is chosen for it.
    overshoot_deg : float
        Upwind, how much too low she comes out.

    Returns
    -------
    SimManoeuvre
        With the metres actually lost against sailing on: the depth has limits.
    """
    rows = np.arange(max(row - BEFORE_S, 0), min(row + AFTER_S, path.speed.size))
    clock = (rows - row).astype(np.float64)
    plain = np.abs(_folded(path.angle_deg[rows]))
    side_before = np.sign(_folded(path.angle_deg[[max(row - 1, 0)]]))[0]
    angle = _angles(plain, clock, kind, side_before, overshoot_deg)
    speed = path.speed[rows]
    dip, lost = _dip(
        speed, degrees_to_radians(plain), degrees_to_radians(angle), dip_shape(clock), kind, wanted_m
    )
    across = np.clip(clock / TURN_S[kind] + 0.5, 0.0, 1.0)
    path.angle_deg[rows] = angle
    path.speed[rows] = speed * (1.0 - dip * dip_shape(clock))
    heel = -np.where(clock < 0.0, side_before, -side_before) * path.roll_deg[rows]
    path.roll_deg[rows] = -side_before * heel * (1.0 - 2.0 * across)
    return SimManoeuvre(row, kind, lost, dip)


def _folded(angle_deg: Array) -> Array:
    return np.asarray(180.0 - np.mod(180.0 - angle_deg, 360.0))


def _angles(plain: Array, clock: Array, kind: str, side: float, overshoot_deg: float) -> Array:
    """Return the signed angle through the turn: over the bow, or over the stern and on beyond 180."""
    across = np.clip(clock / TURN_S[kind] + 0.5, 0.0, 1.0)
    if kind == "gybe":
        return np.asarray(side * (plain + (360.0 - 2.0 * plain) * across))
    since = np.maximum(clock - TURN_S[kind] / 2.0, 0.0)
    over = np.where(across >= 1.0, overshoot_deg * np.exp(-since / OVERSHOOT_S), overshoot_deg * across)
    return np.asarray(side * (plain * (1.0 - 2.0 * across) - over))


def _dip(
    speed: Array, plain: Array, angle: Array, shape: Array, kind: str, wanted_m: float
) -> tuple[float, float]:
    """Return the depth of the dip that loses the wanted metres, within its limits, and what it then loses."""
    sign = 1.0 if kind == "tack" else -1.0
    undipped = float((sign * speed * (np.cos(plain) - np.cos(angle))).sum())
    per_dip = float((sign * speed * shape * np.cos(angle)).sum())
    wanted = (wanted_m - undipped) / per_dip if per_dip > 0.0 else SMALLEST_DIP
    dip = float(np.clip(wanted, SMALLEST_DIP, LARGEST_DIP[kind]))
    return dip, undipped + dip * per_dip
