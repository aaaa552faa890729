"""How heel leaves its band in gusts and lulls, and how long it takes to come back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.sliding import mean_around

Array = NDArray[np.float64]

GUST_SHARE: Final = 0.08
"""Wind so much above (gust) or below (lull) the mean of two minutes around it (our own limit)."""

MEAN_S: Final = 120
SHORTEST_S: Final = 2
"""Out of the band for less than this is the sea, not the crew [s]."""

FEWEST: Final = 5
"""Fewer times out of the band say nothing about a crew's usual response."""

SURGE_DEG: Final = 5.0
SURGE_S: Final = 2
"""Heel that grows so much within so long may cost the flow on the keel (common practice, no source)."""


@dataclass(frozen=True)
class Excursion:
    """One time out of the band: first row, how long [s], largest error [deg], and its cause."""

    row: int
    seconds: int
    worst_deg: float
    cause: str


@dataclass(frozen=True)
class HeelResponse:
    """Times out of the band.

    Parameters
    ----------
    count : int
        How many.
    per_minute : float
        How many a minute of known heel.
    median_s, slow_s : float
        How long until back in the band: the middle one, and the ninth of ten.
    gust_median_s, lull_median_s : float or None
        The middle one of those in gusts, and in lulls; None with too few, or without wind.
    surges : int
        Times the heel grew by `SURGE_DEG` within two seconds to beyond the band.
    """

    count: int
    per_minute: float
    median_s: float
    slow_s: float
    gust_median_s: float | None
    lull_median_s: float | None
    surges: int


def excursions(error_deg: Array, wind_kn: Array, *, band_deg: float) -> tuple[Excursion, ...]:
    """Return the times out of the band.

    Parameters
    ----------
    error_deg : array, shape (n,)
        Heel above the target; NaN where it does not count. An excursion that runs into a gap is left out.
    wind_kn : array, shape (n,)
        True wind; NaN where it is not known.
    band_deg : float
        Half width of the band.
    """
    out = np.abs(error_deg) > band_deg
    edges = np.diff(np.concatenate([[0], out.astype(np.int8), [0]]))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    usual = mean_around(wind_kn, MEAN_S)
    found = []
    for start, end in zip(starts, ends, strict=True):
        whole = start > 0 and end < error_deg.size
        if not whole or end - start < SHORTEST_S or not np.isfinite(error_deg[[start - 1, end]]).all():
            continue
        part = error_deg[start:end]
        worst = float(part[np.abs(part).argmax()])
        found.append(Excursion(int(start), int(end - start), worst, _cause(wind_kn, usual, int(start))))
    return tuple(found)


def _cause(wind_kn: Array, usual: Array, row: int) -> str:
    """Return whether the wind was up or down when the heel left its band."""
    part = wind_kn[max(row - 3, 0) : row + 3]
    if not (np.isfinite(part).any() and np.isfinite(usual[row])):
        return "other"
    change = float(np.nanmean(part)) / float(usual[row]) - 1.0
    return "gust" if change > GUST_SHARE else ("lull" if change < -GUST_SHARE else "other")


def heel_response(error_deg: Array, wind_kn: Array, *, band_deg: float) -> HeelResponse | None:
    """Return how heel leaves its band and comes back, or None with too few times to tell.

    Parameters
    ----------
    error_deg, wind_kn, band_deg
        As `excursions`.
    """
    found = excursions(error_deg, wind_kn, band_deg=band_deg)
    known = int(np.isfinite(error_deg).sum())
    if len(found) < FEWEST:
        return None
    lengths = np.array([one.seconds for one in found], dtype=float)
    return HeelResponse(
        count=len(found),
        per_minute=60.0 * len(found) / known,
        median_s=float(np.median(lengths)),
        slow_s=float(np.percentile(lengths, 90.0)),
        gust_median_s=_median_of(found, "gust"),
        lull_median_s=_median_of(found, "lull"),
        surges=surges(error_deg, band_deg=band_deg),
    )


def surges(error_deg: Array, *, band_deg: float) -> int:
    """Return how often heel grew by `SURGE_DEG` within two seconds to more than the band over the target."""
    grown = np.zeros(error_deg.size)
    grown[SURGE_S:] = error_deg[SURGE_S:] - error_deg[:-SURGE_S]
    hit = (grown > SURGE_DEG) & (error_deg > band_deg)
    return int((hit[1:] & ~hit[:-1]).sum())


def _median_of(found: tuple[Excursion, ...], cause: str) -> float | None:
    lengths = [one.seconds for one in found if one.cause == cause]
    return float(np.median(lengths)) if len(lengths) >= FEWEST else None
