"""How long actions take: the beta distribution of the three-point method, and what a stop-watch adds to it.

Mean ``(o + 4 m + p) / 6`` and standard deviation ``(p - o) / 6``; the beta distribution between o and p has
shape
parameters ``1 + 4 (m - o) / (p - o)`` and ``1 + 4 (p - m) / (p - o)``, which has that mean exactly and that
standard deviation nearly.

References
----------
.. [1] Malcolm, Roseboom, Clark and Fazar, "Application of a technique for research and development program
   evaluation", Operations Research 7 (1959) 646-669.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.errors import InputError
from cringle.plays.play_file import ThreePoint

Array = NDArray[np.float64]

WEIGHT_OF_LIKELY = 4.0
"""The three-point method's weight of the likely time [1]."""

PRIOR_RUNS = 4.0
"""How many timed runs the written times are worth (judgement): after four runs both count alike."""

SHORTEST_S = 0.05
TABLE_REACH = 5.0
TABLE_STEPS = 2048
"""The inverse is tabulated over standard normal scores from -5 to 5."""


@dataclass(frozen=True)
class Timing:
    """The times of one action after some runs.

    Parameters
    ----------
    three_point_s : tuple
        Optimistic, likely and pessimistic [s].
    mean_s, sd_s : float
        Mean and standard deviation of one run [s].
    runs : int
        Timed runs that went into it.
    """

    three_point_s: ThreePoint
    mean_s: float
    sd_s: float
    runs: int


def three_point_mean(low: ArrayLike, likely: ArrayLike, high: ArrayLike) -> Array:
    """Return the mean of the three-point method, in the unit of its arguments."""
    weighted = np.asarray(low, float) + WEIGHT_OF_LIKELY * np.asarray(likely, float) + np.asarray(high, float)
    mean: Array = weighted / (WEIGHT_OF_LIKELY + 2.0)
    return mean


def three_point_sd(low: ArrayLike, high: ArrayLike) -> Array:
    """Return the standard deviation of the three-point method, in the unit of its arguments."""
    sd: Array = (np.asarray(high, float) - np.asarray(low, float)) / 6.0
    return sd


def beta_shapes(times: ThreePoint) -> tuple[float, float]:
    """Return both shape parameters of the beta distribution of three times that are not all the same."""
    low, likely, high = times
    share = (likely - low) / (high - low)
    return 1.0 + WEIGHT_OF_LIKELY * share, 1.0 + WEIGHT_OF_LIKELY * (1.0 - share)


def beta_variance(times: ThreePoint) -> float:
    """Return the exact variance of that beta distribution [s2]; the three-point method's is close to it."""
    low, _, high = times
    if high <= low:
        return 0.0
    a, b = beta_shapes(times)
    return (high - low) ** 2 * a * b / ((a + b) ** 2 * (a + b + 1.0))


def inverse_table(times: ThreePoint) -> Array:
    """Return durations at evenly spaced standard normal scores, shape (TABLE_STEPS + 1,) [s]."""
    low, _, high = times
    if high <= low:
        return np.full(TABLE_STEPS + 1, low)
    from scipy.special import betaincinv, ndtr

    a, b = beta_shapes(times)
    chances = ndtr(np.linspace(-TABLE_REACH, TABLE_REACH, TABLE_STEPS + 1))
    table: Array = low + (high - low) * betaincinv(a, b, chances)
    return table


def look_up(table: Array, scores: Array) -> Array:
    """Return the durations at standard normal scores, linear between the table's entries [s]."""
    place = np.clip((scores + TABLE_REACH) * (TABLE_STEPS / (2.0 * TABLE_REACH)), 0.0, TABLE_STEPS - 1e-9)
    index = place.astype(np.intp)
    share = place - index
    low = table[index]
    found: Array = low + share * (table[index + 1] - low)
    return found


def updated(prior: ThreePoint, timed_s: Sequence[float], *, prior_runs: float = PRIOR_RUNS) -> Timing:
    """Return the times of an action after timed runs: a posterior, the written times are never overwritten.

    Mean and variance of a run have a normal-inverse-gamma prior that is centred on the written times and
    worth `prior_runs` runs. The likely time moves with the mean; the other two follow from mean and spread.

    Parameters
    ----------
    prior : tuple
        Optimistic, likely and pessimistic time as written [s].
    timed_s : sequence of float
        Runs by the stop-watch [s].
    prior_runs : float
        What the written times are worth, in runs.

    Raises
    ------
    InputError
        A time is negative or not a number.

    References
    ----------
    .. [1] Conjugate update of a normal mean and variance, in texts on Bayesian statistics. From memory.
    """
    runs = np.asarray(timed_s, dtype=float)
    if runs.size and not bool(np.all(np.isfinite(runs) & (runs >= 0.0))):
        raise InputError("a timed run is negative or no number", next_step="leave that run out")
    low, likely, high = prior
    mean, spread = float(three_point_mean(low, likely, high)), float(three_point_sd(low, high))
    if runs.size == 0:
        return Timing(prior, mean, spread, 0)
    whole = prior_runs + runs.size
    seen = float(np.mean(runs))
    new_mean = (prior_runs * mean + runs.size * seen) / whole
    squares = (
        prior_runs * spread**2
        + float(np.sum((runs - seen) ** 2))
        + prior_runs * runs.size / whole * (seen - mean) ** 2
    )
    new_spread = float(np.sqrt(squares / whole))
    return Timing(_three_points(likely - mean, new_mean, new_spread), new_mean, new_spread, int(runs.size))


def _three_points(offset: float, mean: float, spread: float) -> ThreePoint:
    """Return the three times of a mean and a spread, with the likely one at an offset from the mean [s]."""
    likely = max(SHORTEST_S, mean + min(max(offset, -spread), spread))
    middle = 3.0 * mean - 2.0 * likely
    low = min(max(SHORTEST_S, middle - 3.0 * spread), likely)
    return low, likely, max(middle + 3.0 * spread, likely)
