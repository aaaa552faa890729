"""A boat against itself: blocks with and without the change, A-B-A, so that a steady drift cancels."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.trials.pair import GainSeries, PairResult, PairWish, gain_series, result_of, stretches_of
from cringle.trials.together import Together
from cringle.trials.usable import Bins, Limits, in_bins, usable
from cringle.units import knots_to_metres_per_second

Floats = NDArray[np.float64]

FEWEST_BLOCKS: Final = 3
"""A, B and A again: with two blocks the wind's own change looks like the setting's."""


@dataclass(frozen=True)
class Target:
    """What the boat is held against: speed [kn] and angle off the wind [deg]; None takes its own mean."""

    speed_kn: float | None = None
    angle_deg: float | None = None


def compare_alone(
    both: Together, wind_from_deg: Floats, wish: PairWish, target: Target | None = None
) -> PairResult:
    """Return what blocks with and without the change say.

    Parameters
    ----------
    both : Together
        Our boat's track; the second boat is not looked at.
    wind_from_deg : array, shape (n,)
        As in `cringle.trials.pair.compare`. [deg]
    wish : PairWish
        Its carries say when the change was on (1) and off (0).
    target : Target, optional
        Speed and angle to hold the boat against.

    Raises
    ------
    InputError
        Fewer than three blocks, or nothing usable.
    """
    whos = [one.who for one in sorted(wish.carries, key=lambda one: one.from_s)]
    blocks = 1 + int(np.count_nonzero(np.diff(whos))) if whos else 0
    if blocks < FEWEST_BLOCKS:
        raise InputError(
            f"{blocks} blocks with and without the change: a boat alone needs {FEWEST_BLOCKS}, A-B-A",
            next_step="sail without it once more, or compare with another boat",
        )
    open_ = replace(wish, limits=_alone(wish.limits))
    bins = _against(in_bins(_twice(both), wind_from_deg, open_.limits), target or Target())
    found = usable(bins, open_.limits)
    series = gain_series(both.start, bins, found, open_)
    stretches = stretches_of(both, bins, series)
    result = result_of(_with_drift(series), open_, stretches=stretches, left_out=found.left_out_min)
    words = "one boat alone: every change of wind and sea that is not a steady drift is in this number"
    return replace(result, boat=None, gradient=None, notes=(words,), series=series)


def _alone(limits: Limits) -> Limits:
    """Return the limits without those that are about the other boat."""
    return replace(limits, nearest_m=0.0, farthest_m=np.inf, shadow_m=0.0)


def _twice(both: Together) -> Together:
    return replace(
        both,
        north=np.repeat(both.north[:1], 2, axis=0),
        east=np.repeat(both.east[:1], 2, axis=0),
        heel=np.repeat(both.heel[:1], 2, axis=0),
    )


def _against(bins: Bins, target: Target) -> Bins:
    """Return the bins with the target in place of the second boat."""
    speed, angle = bins.speed.copy(), bins.angle_deg.copy()
    sailing = np.isfinite(speed[0])
    for point in np.unique(bins.point[0, sailing]):
        rows = sailing & (bins.point[0] == point)
        off_wind = np.median(np.abs(angle[0, rows])) if target.angle_deg is None else target.angle_deg
        fast = (
            np.median(speed[0, rows])
            if target.speed_kn is None
            else knots_to_metres_per_second(target.speed_kn)
        )
        speed[1, rows] = fast
        angle[1, rows] = np.sign(angle[0, rows]) * off_wind
    return replace(bins, speed=speed, angle_deg=angle)


def _with_drift(series: GainSeries) -> GainSeries:
    """Return the series with a straight drift in place of the side, so that it is taken out."""
    middle = series.middle_s - series.middle_s.mean()
    reach = float(np.abs(middle).max()) or 1.0
    return replace(series, right_m=100.0 * middle / reach)
