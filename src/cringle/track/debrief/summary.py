"""Speeds and wind of a log in a few numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import circular_mean_deg, circular_spread_deg
from cringle.track.reading.complete import Complete
from cringle.track.sailing.heel import LEAST_SECONDS, POINTS_OF_SAIL, point_of_sail
from cringle.track.series import Series
from cringle.track.turns.tacks import Manoeuvre
from cringle.units import wrap_degrees

Array = NDArray[np.float64]

TOP_SPEED_S: Final = 10
"""The highest speed is one held for this long on average [s]: a single reading may be a wave or an error."""

UNDER_WAY_KN: Final = 0.5
"""Slower than this over ground a boat is stopped [kn] (common practice, no source)."""


@dataclass(frozen=True)
class SpeedOf:
    """One kind of speed [kn]: mean under way, median, highest over ten seconds; time with a reading [s]."""

    mean_kn: float
    median_kn: float
    highest_10_s_kn: float | None
    time_s: int


@dataclass(frozen=True)
class SpeedSummary:
    """Speed over ground and through the water, and the mean on each point of sail (None: not known)."""

    sog: SpeedOf | None
    stw: SpeedOf | None
    mean_by_point_of_sail_kn: Mapping[str, float | None]
    measured_by: str | None
    stopped_s: int | None


@dataclass(frozen=True)
class WindSummary:
    """True wind: mean, spread, tenth and ninetieth percentile of its speed; mean and spread of its direction.

    Parts that the log cannot tell are None.
    """

    tws_mean_kn: float | None
    tws_sd_kn: float | None
    tws_p10_kn: float | None
    tws_p90_kn: float | None
    twd_mean_deg: float | None
    twd_sd_deg: float | None


def speed_summary(log: Complete) -> SpeedSummary:
    """Return the speeds of a log."""
    series = log.series
    measured = "stw" if series.has("stw") else ("sog" if series.has("sog") else None)
    speed = series.stw if measured == "stw" else series.sog
    point = point_of_sail(series.twa)
    by_point = {name: _mean_of(speed[point == index]) for index, name in enumerate(POINTS_OF_SAIL)}
    stopped = int((series.sog < UNDER_WAY_KN).sum()) if series.has("sog") else None
    return SpeedSummary(_speed_of(series.sog), _speed_of(series.stw), by_point, measured, stopped)


def wind_summary(series: Series) -> WindSummary | None:
    """Return the true wind of a log, or None when it has none and none could be worked out."""
    speed, direction = series.tws[np.isfinite(series.tws)], series.twd[np.isfinite(series.twd)]
    if speed.size < LEAST_SECONDS and direction.size < LEAST_SECONDS:
        return None
    low, high = np.percentile(speed, [10.0, 90.0]) if speed.size else (np.nan, np.nan)
    mean_direction = circular_mean_deg(direction)
    return WindSummary(
        tws_mean_kn=float(speed.mean()) if speed.size else None,
        tws_sd_kn=float(speed.std()) if speed.size else None,
        tws_p10_kn=float(low) if speed.size else None,
        tws_p90_kn=float(high) if speed.size else None,
        twd_mean_deg=float(wrap_degrees(mean_direction)) if direction.size else None,
        twd_sd_deg=circular_spread_deg(direction) if direction.size else None,
    )


def _speed_of(values: Array) -> SpeedOf | None:
    known = values[np.isfinite(values)]
    if known.size == 0:
        return None
    moving = known[known >= UNDER_WAY_KN]
    mean = float(moving.mean()) if moving.size else 0.0
    return SpeedOf(mean, float(np.median(known)), _highest(values), int(known.size))


def _highest(values: Array) -> float | None:
    """Return the highest mean over `TOP_SPEED_S` seconds without a gap."""
    if values.size < TOP_SPEED_S:
        return None
    windows = np.lib.stride_tricks.sliding_window_view(values, TOP_SPEED_S).mean(axis=1)
    return float(np.nanmax(windows)) if np.isfinite(windows).any() else None


def _mean_of(values: Array) -> float | None:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size >= LEAST_SECONDS else None


@dataclass(frozen=True)
class Typical:
    """The middle one of several manoeuvres of a kind: count, median speed before and lowest speed [kn]."""

    count: int
    before_kn: float | None
    lowest_kn: float | None


def typical(manoeuvres: Iterable[Manoeuvre], kind: str) -> Typical:
    """Return the medians over one kind, through the water where measured, else over ground."""
    chosen = [one for one in manoeuvres if one.kind == kind]
    before = [one.sog_before_kn if one.stw_before_kn is None else one.stw_before_kn for one in chosen]
    lowest = [one.sog_lowest_kn if one.stw_lowest_kn is None else one.stw_lowest_kn for one in chosen]
    return Typical(len(chosen), _median(before), _median(lowest))


def _median(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return float(np.median(known)) if known else None
