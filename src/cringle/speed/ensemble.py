"""The ensemble: many boats, each with its own draw of every uncertain coefficient, and 90 % intervals.

Every assumed coefficient has a low and a high end in its table. A member draws all of them at once, so that a
difference between two things is computed within one member, and what both share drops out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError, OutOfRangeError
from cringle.physics.assumptions import (
    MOST_SCORE,
    SCORE_AT_ENDS,
    air_assumption_rows,
    drawn_air_assumptions,
)
from cringle.physics.water_assumptions import (
    WaterAssumptions,
    default_water_assumptions,
    water_assumption_rows,
)
from cringle.speed.factors import HIGHEST, LOWEST, Factors
from cringle.speed.model import SpeedModel

Array = NDArray[np.float64]

MEMBERS = 64
"""Boats in an ensemble."""

SEED = 4127
"""Of the draws; fixed, so that the same question has the same answer."""

LOW_SHARE, HIGH_SHARE = 5.0, 95.0
"""Percentiles of the 90 % interval."""

PINNED = {
    "hull_drag": "hull_drag_factor",
    "planing_drag": "planing_drag_factor",
    "righting_moment": "righting_moment_factor",
}
"""Factors of a fit that stand for one assumed coefficient; a fit's own spread replaces the assumed one."""

FACTOR_NAMES = ("sail_power", "hull_drag", "planing_drag", "righting_moment", "windage")
"""Order of the factors in a covariance."""


@dataclass(frozen=True)
class Fitted:
    """Factors of a fit with their covariance; the order is that of `FACTOR_NAMES`.

    Parameters
    ----------
    factors : Factors
        Best values.
    covariance : tuple of rows
        Of the logarithms of the factors.
    """

    factors: Factors
    covariance: tuple[tuple[float, ...], ...]

    def __post_init__(self) -> None:
        count = len(FACTOR_NAMES)
        if len(self.covariance) != count or any(len(row) != count for row in self.covariance):
            raise InputError(
                f"covariance of the factors: found {len(self.covariance)} rows, accepted {count} by {count}",
                next_step="fit again: cringle speed fit FILE",
            )

    @property
    def best(self) -> Array:
        """The factors as an array."""
        return np.array([getattr(self.factors, name) for name in FACTOR_NAMES])


@dataclass(frozen=True)
class Interval:
    """A 90 % interval, arrays of one shape."""

    low: Array
    high: Array


def drawn_water_assumptions(scores: Array) -> WaterAssumptions:
    """Return one draw of all assumptions of the water side from standard normal scores.

    Parameters
    ----------
    scores : array, shape (number of assumptions,)
        As for `physics.assumptions.drawn_air_assumptions`; what cannot be negative is held at 0.

    Raises
    ------
    InputError
        The number of scores is not that of the rows, or a score is NaN.
    """
    rows = water_assumption_rows()
    if np.shape(scores) != (len(rows),) or np.isnan(scores).any():
        raise InputError(
            f"scores of the water assumptions: found shape {np.shape(scores)}, accepted ({len(rows)},)",
            next_step="draw one standard normal number for every row of the table",
        )
    limited = np.clip(scores, -MOST_SCORE, MOST_SCORE) / SCORE_AT_ENDS
    value, low, high = np.array([(row.value, row.low, row.high) for row in rows]).T
    drawn = value + limited * np.where(limited < 0.0, value - low, high - value)
    drawn = np.where(low >= 0.0, np.maximum(drawn, 0.0), drawn)
    return WaterAssumptions(**{row.name: float(x) for row, x in zip(rows, drawn, strict=True)})


def normal_scores(members: int, coefficients: int, seed: int = SEED) -> Array:
    """Return standard normal scores, shape (members, coefficients), spread evenly over each coefficient.

    Notes
    -----
    Latin hypercube sampling [1]_: each coefficient's distribution is cut into as many equally likely strata
    as there are members, and every stratum is used once, at its middle.

    References
    ----------
    .. [1] McKay, Beckman and Conover, Technometrics 21, 1979, pp. 239-245.
    """
    from scipy.special import ndtri

    if not 2 <= members <= 10_000:
        raise OutOfRangeError("members of the ensemble", members, 2, 10_000, next_step="64 are enough")
    random = np.random.default_rng(seed)
    middle = ndtri((np.arange(members) + 0.5) / members)
    return np.stack([random.permutation(middle) for _ in range(coefficients)], axis=1)


def members(
    model: SpeedModel, *, count: int = MEMBERS, seed: int = SEED, fitted: Fitted | None = None
) -> tuple[SpeedModel, ...]:
    """Return the members of the ensemble around a model.

    Parameters
    ----------
    model : SpeedModel
        Boat, people, sea; its factors count.
    count, seed : int
        How many, and which draws.
    fitted : Fitted, optional
        Factors of a fit with their covariance: they are drawn too, and take the place of the assumed
        coefficients they stand for (`PINNED`).

    Notes
    -----
    Spreads of sails and windage are kept after a fit although the fit has seen a part of them: the intervals
    are on the wide side.
    """
    air_count, water_rows = len(air_assumption_rows()), water_assumption_rows()
    scores = normal_scores(count, air_count + len(water_rows) + len(FACTOR_NAMES), seed)
    best = default_water_assumptions()
    built = []
    for row in scores:
        air = drawn_air_assumptions(row[:air_count])
        water = drawn_water_assumptions(row[air_count : air_count + len(water_rows)])
        factors = model.around.factors
        if fitted is not None:
            factors = _drawn_factors(fitted, row[-len(FACTOR_NAMES) :])
            water = replace(water, **{name: getattr(best, name) for name in PINNED.values()})
        built.append(replace(model.around, air=air, water=water, factors=factors))
    return tuple(model.with_around(one) for one in built)


def _drawn_factors(fitted: Fitted, scores: Array) -> Factors:
    """Return a draw of the factors, log normal with the covariance of the fit."""
    values, vectors = np.linalg.eigh(np.array(fitted.covariance))
    shift = vectors @ (np.sqrt(np.maximum(values, 0.0)) * np.clip(scores, -MOST_SCORE, MOST_SCORE))
    drawn = np.clip(fitted.best * np.exp(shift), LOWEST, HIGHEST)
    return Factors(**dict(zip(FACTOR_NAMES, drawn.tolist(), strict=True)))


def over_members(boats: Sequence[SpeedModel], ask: Callable[[SpeedModel], Array]) -> Array:
    """Return what every member answers, shape (members, ...).

    One after the other: their arrays are small, and two threads that wait for each other take longer.
    """
    return np.stack([ask(one) for one in boats])


def interval(best: Array, same: Array, drawn: Array) -> Interval:
    """Return the 90 % interval of a number around its best value.

    Parameters
    ----------
    best : array, shape (...)
        The number, from the best values of all coefficients, as exactly as it is shown.
    same : array, shape (...)
        The same number from the same boat by the members' own, coarser search.
    drawn : array, shape (members, ...)
        From the members. NaN where a member has no answer: left out.

    Notes
    -----
    Percentiles 5 and 95 of ``drawn - same`` (Hazen positions, as strata are used at their middle), added to
    the best value, so that what the coarse search misses
    does not shift the interval. It always holds the best value itself. NaN where fewer than half of the
    members answer, or the boat has no answer.
    """
    shift = drawn - same
    answered = np.isfinite(shift).sum(axis=0)
    enough = (answered >= 0.5 * shift.shape[0]) & np.isfinite(best)
    filled = np.where(enough, shift, 0.0)
    low, high = np.nanpercentile(filled, (LOW_SHARE, HIGH_SHARE), axis=0, method="hazen")
    return Interval(
        np.where(enough, best + np.minimum(low, 0.0), np.nan),
        np.where(enough, best + np.maximum(high, 0.0), np.nan),
    )
