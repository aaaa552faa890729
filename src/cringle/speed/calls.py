"""The call before the windward mark: lane and technique, why, how sure, and the wind that flips it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cringle.boat.base import Technique as TechniqueName
from cringle.errors import InputError, NotConvergedError, OutOfRangeError
from cringle.speed.cases import Case, Jib
from cringle.speed.legs import LegBest, leg_best, legs_made_good
from cringle.speed.techniques import (
    KEEP_M_PER_MIN,
    Technique,
    Window,
    metres_per_minute,
    seconds_per_mile,
    technique_windows,
    window_at,
)

Array = NDArray[np.float64]

Lane = Literal["protect high", "protect low", "straight"]

WIND_SPREAD_KN = 1.0
"""One standard deviation between the wind called and the wind on the run. Judgement."""

LANE_OF: dict[TechniqueName, Lane] = {
    TechniqueName.SOAK: "protect low",
    TechniqueName.WING: "straight",
    TechniqueName.PLANE: "protect high",
}
"""Soaking boats must keep the room below them, planing ones the air above. Common practice, no source."""


@dataclass(frozen=True)
class Call:
    """What to do on a run.

    Parameters
    ----------
    lane : str
        ``protect high``, ``protect low`` or ``straight``.
    case : Case
        Technique and jib.
    best : LegBest
        Angle, speed, heel, boards.
    margin_m_per_min, margin_s_per_mile : float
        Over the best other technique along this leg; NaN where there is none.
    next_best : Case or None
        That one.
    why : str
        One sentence.
    sure : float
        Share of the winds likely on the run in which this technique is the best one or within
        `KEEP_M_PER_MIN` of it, 0 to 1. Leaves out the error of the model: see the ensemble.
    flips_at_kn : float or None
        The nearest wind at which another technique is the call; None where none is within the winds computed.
    """

    lane: Lane
    case: Case
    best: LegBest
    margin_m_per_min: float
    margin_s_per_mile: float
    next_best: Case | None
    why: str
    sure: float
    flips_at_kn: float | None

    @property
    def technique(self) -> str:
        """Name of the technique."""
        return str(self.case.technique)

    @property
    def jib(self) -> Jib:
        """Jib out or furled."""
        return self.case.jib


def call_for_leg(
    found: Sequence[Technique],
    wind_kn: float,
    *,
    off_deg: float = 0.0,
    sailing: Case | None = None,
    wind_spread_kn: float = WIND_SPREAD_KN,
) -> Call:
    """Return the call for one leg.

    Parameters
    ----------
    found : sequence of Technique
        From `techniques`, over winds half a knot apart or closer, in the sea state of the day.
    wind_kn : float
        True wind at 10 m.
    off_deg : float
        Between the leg and straight down the wind.
    sailing : Case, optional
        What is sailed now; kept while another is not clearly better.
    wind_spread_kn : float
        One standard deviation of the wind on the run.

    Raises
    ------
    InputError
        There is no technique.
    OutOfRangeError
        The wind is outside the winds of `found`.
    NotConvergedError
        No technique can be sailed in this wind.
    """
    if not found:
        raise InputError(
            "no technique to choose from: the class has no sail set with a kite",
            next_step="add one to [[sail_sets]] in class.toml",
        )
    winds = found[0].best.wind_kn
    if not winds[0] <= wind_kn <= winds[-1]:
        raise OutOfRangeError(
            "true wind speed", wind_kn, float(winds[0]), float(winds[-1]), unit="kn",
            next_step="compute the techniques over a range that holds this wind",
        )  # fmt: skip
    grids = [one.polar for one in found]
    good = np.stack([legs_made_good(one, off_deg=off_deg, others=grids) for one in grids])
    windows = technique_windows(found, made_good_kn=good)
    chosen = window_at(windows, wind_kn, sailing=sailing)
    if chosen is None:
        raise NotConvergedError(
            f"no technique can be sailed in {wind_kn:g} kn on this leg",
            next_step="sail main and jib, or ask for less wind",
        )
    return _call(found, good, windows, chosen.case, (wind_kn, off_deg, wind_spread_kn))


def _call(
    found: Sequence[Technique],
    good: Array,
    windows: Sequence[Window],
    case: Case,
    asked: tuple[float, float, float],
) -> Call:
    wind_kn, off_deg, spread = asked
    winds, own = found[0].best.wind_kn, [one.case for one in found].index(case)
    row, grids = int(np.argmin(np.abs(winds - wind_kn))), [one.polar for one in found]
    best = leg_best(found[own].polar, row, off_deg=off_deg, others=grids)
    made = np.array([np.interp(wind_kn, winds, row) for row in good])
    other = _rival(found, made, own)
    rival = made[other] if other is not None else np.nan
    lane: Lane = "straight" if best.one_board else LANE_OF[TechniqueName(str(case.technique))]
    next_best = None if other is None else found[other].case
    return Call(
        lane,
        case,
        best,
        float(metres_per_minute(made[own] - rival)),
        float(seconds_per_mile(rival, made[own])),
        next_best,
        _why(case, best, next_best, float(metres_per_minute(made[own] - rival))),
        _sure(winds, good, own, wind_kn, spread_kn=spread),
        _flips_at(windows, case, wind_kn),
    )


def _rival(found: Sequence[Technique], made: Array, own: int) -> int | None:
    """Return the best case of another technique, or None."""
    for place in np.argsort(made)[::-1]:
        if found[place].case.technique != found[own].case.technique and made[place] > 0.0:
            return int(place)
    return None


def _why(case: Case, best: LegBest, other: Case | None, margin: float) -> str:
    way = (
        f"one board at {best.angle_deg:.0f}°"
        if best.one_board
        else f"{best.angle_deg:.0f}° on the longer board"
    )
    head = f"{case.technique}, jib {case.jib}: {way}, {best.speed_kn:.1f} kn, heel {best.heel_deg:.0f}°"
    if other is None:
        return f"{head}; nothing else can be sailed"
    gain = (
        f"{margin:.0f} m/min more"
        if margin >= 0.0
        else f"{-margin:.0f} m/min less, within what a change costs,"
    )
    return f"{head}; makes good {gain} than {other.technique}, jib {other.jib}"


def _sure(winds: Array, good: Array, own: int, wind_kn: float, *, spread_kn: float) -> float:
    """Return the weight of the winds in which a case is the best or nearly."""
    weight = np.exp(-0.5 * np.square((winds - wind_kn) / max(spread_kn, 1e-3)))
    near = metres_per_minute(good.max(axis=0) - good[own]) <= KEEP_M_PER_MIN
    return float(np.sum(weight * (near & (good[own] > 0.0))) / np.sum(weight))


def _flips_at(windows: Sequence[Window], case: Case, wind_kn: float) -> float | None:
    """Return the end of the window of the same technique that is nearest to a wind."""
    ends = [
        end
        for before, after in pairwise(windows)
        if before.case.technique != after.case.technique
        and case.technique in (before.case.technique, after.case.technique)
        for end in (before.to_kn,)
    ]
    return min(ends, key=lambda end: abs(end - wind_kn)) if ends else None
