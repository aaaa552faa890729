"""Steady stretches out of readings taken every second, for the fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.speed.ensemble import Array
from cringle.speed.fit import Stretch

LENGTH_S = 60
"""A stretch is so long."""

ANGLE_SPREAD_DEG, SPEED_SHARE, WIND_SHARE = 6.0, 0.06, 0.15
"""Largest standard deviations inside a stretch: of the angle, of the speed over its mean, of the wind over
its mean. Judgement: half of what an amateur crew shows in a minute that nobody would call steady."""

UPWIND_BELOW_DEG, KITE_ABOVE_DEG = 60.0, 110.0
"""Below the first main and jib; above the second a kite. Between them the sails are not known: left out."""

MOST_MISSING = 0.2
"""Share of the seconds of a stretch that may lack a reading."""


@dataclass(frozen=True)
class Readings:
    """Readings every second, arrays of one length; NaN where there is none.

    Parameters
    ----------
    wind_kn, angle_deg, speed_kn : array
        True wind at 10 m, true wind angle (starboard positive), speed.
    heel_deg : array
        To leeward.
    """

    wind_kn: Array
    angle_deg: Array
    speed_kn: Array
    heel_deg: Array

    def __post_init__(self) -> None:
        sizes = {one.shape for one in (self.wind_kn, self.angle_deg, self.speed_kn, self.heel_deg)}
        if len(sizes) != 1:
            raise InputError("readings of different length", next_step="give one reading a second of each")


def steady_stretches(readings: Readings, *, run_case: str) -> tuple[Stretch, ...]:
    """Return the steady stretches among readings, end to end, each `LENGTH_S` long.

    Parameters
    ----------
    readings : Readings
        One a second.
    run_case : str
        Name of the case sailed with the kite up, such as ``soak furled``; a log does not know it.

    Notes
    -----
    Both the wind and the boat must be steady, so tacks, gybes and gusts fall out by themselves.
    """
    count = readings.wind_kn.size // LENGTH_S
    found = []
    for place in range(count):
        part = slice(place * LENGTH_S, (place + 1) * LENGTH_S)
        one = _stretch(readings, part, run_case)
        if one is not None:
            found.append(one)
    return tuple(found)


def _stretch(readings: Readings, part: slice, run_case: str) -> Stretch | None:
    wind, angle, speed = (one[part] for one in (readings.wind_kn, readings.angle_deg, readings.speed_kn))
    there = np.isfinite(wind) & np.isfinite(angle) & np.isfinite(speed)
    if np.mean(there) < 1.0 - MOST_MISSING or not _steady(wind[there], angle[there], speed[there]):
        return None
    size = abs(float(np.mean(angle[there])))
    case = "up" if size < UPWIND_BELOW_DEG else run_case if size > KITE_ABOVE_DEG else None
    mean_speed = float(np.mean(speed[there]))
    if case is None or mean_speed < 0.5:
        return None
    heel = readings.heel_deg[part]
    known = np.isfinite(heel)
    lean = float(np.mean(heel[known])) if np.mean(known) >= 1.0 - MOST_MISSING else None
    return Stretch(float(np.mean(wind[there])), size, mean_speed, case, lean, float(np.sum(there)))


def _steady(wind: NDArray[np.float64], angle: Array, speed: Array) -> bool:
    side = np.sign(angle)
    return bool(
        np.all(side == side[0])
        and np.std(angle) <= ANGLE_SPREAD_DEG
        and np.std(speed) <= SPEED_SHARE * np.mean(speed)
        and np.std(wind) <= WIND_SHARE * np.mean(wind)
    )
