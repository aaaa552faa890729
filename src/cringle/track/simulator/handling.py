"""A simulated set or drop of the kite: the dip of the speed beside a mark, and the metres it costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.simulator.turns import AFTER_S, DIP_DEEPEST_S, RECOVERY_S, Path, dip_shape
from cringle.units import degrees_to_radians

Array = NDArray[np.float64]

FILLS_S: Final = 7.0
"""The kite fills so long after the run begins [s]; the speed then comes back as after a gybe."""

DROP_S: Final = 10.0
CLOSED_S: Final = 4.0
"""The kite comes down from 10 s to 4 s before the run ends [s] (judgement: a crew of five)."""

LARGEST_DIP: Final = 0.6
SMALLEST_DIP: Final = 0.02
LEFT_SHARE: Final = 0.05
"""A set is over when 95 % of the speed is back."""


@dataclass(frozen=True)
class SimHandling:
    """One set or drop: its kind, the row of the mark, rows it takes, metres and share of speed lost."""

    kind: str
    row: int
    first: int
    end: int
    metres_lost: float
    dip: float


def handle(path: Path, kind: str, *, row: int, wanted_m: float) -> SimHandling:
    """Put a set at the start of a run, or a drop at its end, into its path.

    Parameters
    ----------
    path : Path
        Of the whole run; changed in place.
    kind : str
        ``set`` or ``drop``.
    row : int
        Row of the log at which the run begins.
    wanted_m : float
        Metres to be lost to leeward; the depth of the dip is chosen for it, within its limits.
    """
    count = path.speed.size
    rows = np.arange(count, dtype=np.float64)
    shape = set_shape(rows) if kind == "set" else drop_shape(count - rows)
    good = -path.speed * np.cos(degrees_to_radians(path.angle_deg)) * shape
    per_dip = float(good.sum())
    dip = float(np.clip(wanted_m / per_dip if per_dip > 0.0 else 0.0, SMALLEST_DIP, LARGEST_DIP))
    path.speed *= 1.0 - dip * shape
    over = int(np.ceil(FILLS_S + RECOVERY_S * float(np.log(max(dip / LEFT_SHARE, 1.0)))))
    inside = (0, min(over, count)) if kind == "set" else (max(count - int(DROP_S), 0), count)
    mark = row if kind == "set" else row + count
    return SimHandling(kind, mark, row + inside[0], row + inside[1], dip * per_dip, dip)


def set_shape(seconds: Array) -> Array:
    """Return the dip of a set at seconds after the run begins: deepest when the kite fills."""
    shape = dip_shape(np.asarray(seconds, dtype=np.float64) - (FILLS_S - DIP_DEEPEST_S))
    return np.where(seconds < FILLS_S + AFTER_S, shape, 0.0)


def drop_shape(to_go_s: Array) -> Array:
    """Return the dip of a drop at seconds before the run ends: full from where the kite is down."""
    down = np.clip((DROP_S - np.asarray(to_go_s, dtype=np.float64)) / (DROP_S - CLOSED_S), 0.0, 1.0)
    return np.asarray(0.5 - 0.5 * np.cos(np.pi * down))
