"""What a boat can do at the wind, angle and heel of each second: her own pace is held against it."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.sailing.sailing import Sailing

Array = NDArray[np.float64]

FOLLOW_S: Final = 5.0
"""A boat's speed follows the wind with this memory [s] (judgement: a light keelboat)."""

SLOWEST_KN: Final = 0.5
"""Pace is not taken over less than this [kn]."""


class Possible:
    """Speeds of the boat's polar at the wind of each second; the same everywhere without polar or wind.

    Parameters
    ----------
    sailing : Sailing
        The log; of it wind and heel are used.
    polar : FrozenPolar or None
        Of this boat.
    """

    def __init__(self, sailing: Sailing, polar: FrozenPolar | None) -> None:
        known = bool(np.isfinite(sailing.wind_kn).any())
        self._polar = polar if known else None
        self._wind = followed(sailing.wind_kn) if known else sailing.wind_kn

    def speed_kn(self, rows: NDArray[np.intp], angle_deg: Array, heel_deg: Array) -> Array:
        """Return the speed at angles and heels on rows of the log; 1 everywhere without polar or wind.

        Parameters
        ----------
        rows : array of int, shape (m,)
            Of the log.
        angle_deg, heel_deg : array, shape (m,)
            True wind angle, of either sign, 0 where not known; heel to leeward, NaN for the target's.
        """
        if self._polar is None:
            return np.ones(rows.size)
        wind = self._wind[rows]
        heel = np.where(np.isfinite(heel_deg), heel_deg, self._polar.best_heel(wind, angle_deg))
        return np.maximum(self._polar.speed(wind, angle_deg, heel), SLOWEST_KN)

    def pace(self, sailing: Sailing) -> Array:
        """Return the speed of each second over the possible one; NaN where the speed is not known."""
        angle = np.nan_to_num(sailing.angle_deg)
        return sailing.speed_kn / self.speed_kn(np.arange(angle.size), angle, sailing.heel_deg)


def followed(wind_kn: Array) -> Array:
    """Return the wind that a boat's speed goes with: a memory of `FOLLOW_S`, unknown seconds bridged."""
    from scipy.signal import lfilter

    known = np.isfinite(wind_kn)
    keep = float(np.exp(-1.0 / FOLLOW_S))
    rows = np.arange(wind_kn.size)
    whole = np.interp(rows, rows[known], wind_kn[known])
    return np.asarray(lfilter([1.0 - keep], [1.0, -keep], whole, zi=[keep * whole[0]])[0])
