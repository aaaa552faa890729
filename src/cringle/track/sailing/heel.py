"""Heel by point of sail, its spread, and the share of time inside the band the boat is meant to keep."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.series import Series
from cringle.track.sides import settled_runs

Array = NDArray[np.float64]

UPWIND_BELOW_DEG: Final = 60.0
DOWNWIND_ABOVE_DEG: Final = 120.0
"""True wind angle below which a boat sails upwind, and above which she sails downwind [deg]; reaching lies
between (common practice, no source)."""

POINTS_OF_SAIL: Final = ("upwind", "reaching", "downwind")

WRONG_SIGN_DEG: Final = -3.0
"""Mean heel upwind below this on both sides means that the sensor's sign is turned round [deg]: a boat does
not sail upwind heeled to windward (common practice, no source)."""

LEAST_SECONDS: Final = 30
"""A point of sail with less time than this says nothing [s]."""


@dataclass(frozen=True)
class HeelBand:
    """The heel to keep [deg, leeward positive] from `low_deg` to `high_deg`, and where that comes from."""

    low_deg: float
    high_deg: float
    source: str


@dataclass(frozen=True)
class HeelPart:
    """Heel on one point of sail: seconds, mean, spread, tenth and ninetieth percentile, band and share in it.

    `in_band_share` and `band` are None when no band is set for this point of sail.
    """

    time_s: int
    mean_deg: float
    sd_deg: float
    p10_deg: float
    p90_deg: float
    band: HeelBand | None
    in_band_share: float | None


@dataclass(frozen=True)
class HeelSummary:
    """Heel of a log, leeward positive.

    Parameters
    ----------
    by_point_of_sail : mapping
        ``upwind``, ``reaching``, ``downwind`` to `HeelPart`, or None where the log has too little of it.
    time_s : int
        Time with heel and a settled wind side.
    mean_deg, sd_deg : float
        Over all of that time.
    in_band_share : float or None
        Share of the time on points of sail that have a band.
    sign_turned : bool
        The sensor counted the other way round; it was turned back here.
    """

    by_point_of_sail: Mapping[str, HeelPart | None]
    time_s: int
    mean_deg: float
    sd_deg: float
    in_band_share: float | None
    sign_turned: bool


def leeward_heel_deg(series: Series) -> Array:
    """Return heel to leeward [deg]; NaN while the wind is not settled on one side.

    Roll is positive starboard side down; with the wind from port (negative angle) leeward is starboard.
    """
    side = np.zeros(series.rows)
    angle = series.awa if series.has("awa") else series.twa
    for run in settled_runs(angle):
        side[run.start : run.end] = run.side
    return np.where(side != 0.0, -side * series.roll, np.nan)


def point_of_sail(true_wind_angle_deg: Array) -> NDArray[np.int8]:
    """Return the index into `POINTS_OF_SAIL`, -1 where the angle is unknown."""
    size = np.abs(true_wind_angle_deg)
    point = (size >= UPWIND_BELOW_DEG).astype(np.int8) + (size > DOWNWIND_ABOVE_DEG).astype(np.int8)
    return np.where(np.isfinite(size), point, -1).astype(np.int8)


def heel_summary(series: Series, bands: Mapping[str, HeelBand] | None = None) -> HeelSummary | None:
    """Return what the heel was, or None when the log has no roll or no wind side to tell leeward by.

    Parameters
    ----------
    series : Series
        The log on the even clock, true wind worked out.
    bands : mapping of str to HeelBand, optional
        Point of sail to the band to keep.
    """
    heel = leeward_heel_deg(series)
    known = np.isfinite(heel) & np.isfinite(series.twa)
    if known.sum() < LEAST_SECONDS:
        return None
    turned = sign_is_turned(heel, series)
    heel = -heel if turned else heel
    point = np.where(known, point_of_sail(series.twa), -1)
    parts = {
        name: _part(heel[point == index], (bands or {}).get(name))
        for index, name in enumerate(POINTS_OF_SAIL)
    }
    return HeelSummary(
        by_point_of_sail=parts,
        time_s=int(known.sum()),
        mean_deg=float(heel[known].mean()),
        sd_deg=float(heel[known].std()),
        in_band_share=_share(parts),
        sign_turned=turned,
    )


def sign_is_turned(heel: Array, series: Series) -> bool:
    """Return whether the boat seems to sail upwind heeled to windward on both sides."""
    upwind = np.isfinite(heel) & (np.abs(series.twa) < UPWIND_BELOW_DEG)
    means = [heel[upwind & (np.sign(series.twa) == side)] for side in (-1.0, 1.0)]
    return all(part.size >= LEAST_SECONDS and float(part.mean()) < WRONG_SIGN_DEG for part in means)


def _part(heel: Array, band: HeelBand | None) -> HeelPart | None:
    if heel.size < LEAST_SECONDS:
        return None
    share = None if band is None else float(((heel >= band.low_deg) & (heel <= band.high_deg)).mean())
    low, high = np.percentile(heel, [10.0, 90.0])
    return HeelPart(
        int(heel.size), float(heel.mean()), float(heel.std()), float(low), float(high), band, share
    )


def _share(parts: Mapping[str, HeelPart | None]) -> float | None:
    """Return the share of time inside the bands over all points of sail that have one."""
    banded = [part for part in parts.values() if part is not None and part.in_band_share is not None]
    seconds = sum(part.time_s for part in banded)
    if not seconds:
        return None
    return sum((part.in_band_share or 0.0) * part.time_s for part in banded) / seconds
