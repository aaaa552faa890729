"""Courses and speeds every few seconds: what the wind is looked for in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import unwind_deg
from cringle.track.reading.complete import Complete

Array = NDArray[np.float64]

STEP_S: Final = 10
STEADIEST_DEG: Final = 12.0
"""A course that moves more than this over three steps is a turn [deg] (judgement)."""

SLOWEST_KN: Final = 1.5
SLOWEST_SHARE: Final = 0.4
"""Slower than this share of the log's fast speed a boat waits or drifts [1] (judgement)."""


@dataclass(frozen=True)
class Samples:
    """Means over steps of a few seconds.

    Parameters
    ----------
    step_s : float
        Length of a step.
    seconds : array, shape (k,)
        Middle of each step, in rows of the log's even clock.
    course_deg : array, shape (k,)
        Mean course over ground, unwound; NaN where unknown.
    speed_kn : array, shape (k,)
        Mean speed over ground.
    sailing : bool array, shape (k,)
        Whether she sails on a steady course, fast enough.
    """

    step_s: float
    seconds: Array
    course_deg: Array
    speed_kn: Array
    sailing: NDArray[np.bool_]


def take_samples(log: Complete, *, step_s: int = STEP_S) -> Samples:
    """Return the courses and speeds of a log every few seconds."""
    series = log.series
    rows = (series.rows // step_s) * step_s
    course = unwind_deg(series.cog)[:rows].reshape(-1, step_s)
    speed = series.sog[:rows].reshape(-1, step_s)
    known = np.isfinite(course) & np.isfinite(speed)
    enough = known.sum(axis=1) >= max(step_s // 2, 1)
    mean_course = _mean(course, known, enough)
    mean_speed = _mean(speed, known, enough)
    fast = float(np.nanpercentile(mean_speed, 80)) if enough.any() else np.inf
    sailing = enough & (np.nan_to_num(mean_speed) >= max(SLOWEST_KN, SLOWEST_SHARE * fast))
    seconds = np.asarray((np.arange(mean_course.size) + 0.5) * step_s, dtype=np.float64)
    return Samples(
        float(step_s), seconds, mean_course, mean_speed, sailing & _steady(mean_course, course, known)
    )


def _mean(values: Array, known: NDArray[np.bool_], enough: NDArray[np.bool_]) -> Array:
    total = np.where(known, values, 0.0).sum(axis=1)
    return np.asarray(np.where(enough, total / np.maximum(known.sum(axis=1), 1), np.nan), dtype=np.float64)


def _steady(mean: Array, course: Array, known: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the steps in which the course stays within a few degrees of its neighbours' and its own mean."""
    before, after = np.concatenate((mean[:1], mean[:-1])), np.concatenate((mean[1:], mean[-1:]))
    nearest = np.fmin(np.abs(mean - before), np.abs(mean - after))
    inside = np.where(known, np.abs(course - mean[:, None]), 0.0).max(axis=1, initial=0.0)
    return np.asarray((np.nan_to_num(nearest, nan=np.inf) <= STEADIEST_DEG) & (inside <= 2.5 * STEADIEST_DEG))
