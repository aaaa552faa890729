"""A mean over minutes with a 90 % interval that knows that neighbouring minutes are alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LEVEL: Final = 0.95
"""Upper end of the central 90 %."""


@dataclass(frozen=True)
class Mean:
    """A mean and its 90 % interval; the ends are None where one value alone gives none."""

    value: float
    low: float | None
    high: float | None

    def to_json(self, name: str) -> dict[str, float | None]:
        """Return the value under a name, its ends under the name with ``_low`` and ``_high``."""
        return {name: self.value, f"{name}_low": self.low, f"{name}_high": self.high}


def mean_of(values: Sequence[float]) -> Mean:
    """Return the mean of a series with its 90 % interval.

    Parameters
    ----------
    values : sequence of float
        In order of time, at least one.

    Notes
    -----
    Student's interval with the number of values divided by (1 + r) / (1 - r), r the correlation of neighbours
    where it is positive: what is left of a first-order autoregressive series. G. E. P. Box, G. M. Jenkins,
    Time Series Analysis, Holden-Day 1976, section 2.1 (from memory).
    """
    series = np.asarray(values, dtype=np.float64)
    mean = float(series.mean())
    if series.size < 2:
        return Mean(mean, None, None)
    from scipy.stats import t

    alike = neighbour_correlation(series)
    left = max(series.size * (1.0 - alike) / (1.0 + alike), 2.0)
    half = float(t.ppf(LEVEL, left - 1.0)) * float(series.std(ddof=1)) / float(np.sqrt(left))
    return Mean(mean, mean - half, mean + half)


def neighbour_correlation(series: Array) -> float:
    """Return the correlation of neighbours, 0 where it is negative or cannot be told; at most 0.9."""
    if series.size < 4:
        return 0.0
    centred = series - series.mean()
    power = float((centred**2).sum())
    if power <= 0.0:
        return 0.0
    return float(np.clip((centred[1:] * centred[:-1]).sum() / power, 0.0, 0.9))
