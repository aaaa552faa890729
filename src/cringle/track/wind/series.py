"""The true wind second by second, how sure it is, and where it came from."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import circular_mean_deg, circular_spread_deg, difference_deg, unwind_deg
from cringle.track.reading.complete import Complete

Array = NDArray[np.float64]

INSTRUMENTS = "instruments"
TRACK = "track"
BY_HAND = "entered"
FILE = "file"
INFERRED = "inferred from the boat's speed"


@dataclass(frozen=True)
class WindSeries:
    """True wind on the even clock of a log, one row a second.

    Parameters
    ----------
    twd_deg, tws_kn : array, shape (n,)
        Where the wind comes from in [0, 360), and its speed at 10 m; NaN where not known.
    twd_sd_deg, tws_sd_kn : array, shape (n,)
        Standard deviations of both.
    direction_source : str
        `INSTRUMENTS` or `TRACK`.
    strength_source : str or None
        `INSTRUMENTS`, `BY_HAND`, `FILE` or `INFERRED`; None where no speed is known.
    notes : tuple of str
        What a person should know about it, in sentences.
    """

    twd_deg: Array
    tws_kn: Array
    twd_sd_deg: Array
    tws_sd_kn: Array
    direction_source: str
    strength_source: str | None
    notes: tuple[str, ...] = ()

    @property
    def rows(self) -> int:
        """Number of seconds."""
        return int(self.twd_deg.size)

    @property
    def source(self) -> str:
        """Where direction and speed came from, in words."""
        return f"direction: {self.direction_source}, speed: {self.strength_source or 'not known'}"

    @property
    def mean_deg(self) -> float:
        """Mean direction in [0, 360)."""
        return float(np.mod(circular_mean_deg(self.twd_deg), 360.0))

    @property
    def spread_deg(self) -> float:
        """Circular standard deviation of the direction."""
        return circular_spread_deg(self.twd_deg)

    def angle_deg(self, course_deg: Array) -> Array:
        """Return the true wind angle of courses or headings, in (-180, 180], starboard positive."""
        return difference_deg(self.twd_deg, course_deg)


LONGEST_PAUSE_S = 600
"""Nobody saw the wind in a longer pause between positions [s]: between two days the records stay empty."""


def empty_in_pauses(wind: WindSeries, log: Complete) -> WindSeries:
    """Return the wind with nothing said in pauses longer than `LONGEST_PAUSE_S`.

    Parameters
    ----------
    wind : WindSeries
        Drawn on through pauses.
    log : Complete
        Its positions tell the pauses.
    """
    known = np.flatnonzero(np.isfinite(log.series.lat))
    if known.size < 2:
        return wind
    place = np.searchsorted(known, np.arange(wind.rows)).clip(1, known.size - 1)
    pause = (known[place] - known[place - 1] > LONGEST_PAUSE_S) & ~np.isfinite(log.series.lat)
    if not pause.any():
        return wind
    return replace(
        wind,
        twd_deg=np.where(pause, np.nan, wind.twd_deg),
        tws_kn=np.where(pause, np.nan, wind.tws_kn),
        twd_sd_deg=np.where(pause, np.nan, wind.twd_sd_deg),
        tws_sd_kn=np.where(pause, np.nan, wind.tws_sd_kn),
    )


LONGEST_BRIDGE_S = 15
"""A course is drawn on through a pause of up to so long [s]: a tack in it keeps its time."""


def bridged(course_deg: Array, interval_s: float) -> Array:
    """Return a course on the even clock without steps: between slow readings, and through short pauses.

    Parameters
    ----------
    course_deg : array, shape (n,)
        Readings, each held until the next.
    interval_s : float
        Time between readings [s].
    """
    turned = unwind_deg(course_deg)
    known = np.flatnonzero(np.isfinite(turned))
    if known.size < 2:
        return course_deg
    rows = np.arange(turned.size)
    place = np.searchsorted(known, rows).clip(1, known.size - 1)
    gap = known[place] - known[place - 1]
    filled = np.where(
        np.isfinite(turned) | (gap <= LONGEST_BRIDGE_S), np.interp(rows, known, turned[known]), np.nan
    )
    width = min(round(interval_s), LONGEST_BRIDGE_S)
    if width < 2:
        return np.asarray(np.mod(filled, 360.0))
    ahead = np.minimum(rows[:, None] + np.arange(width), rows[-1])
    return np.asarray(np.mod(filled[ahead].mean(axis=1), 360.0))


def with_wind(log: Complete, wind: WindSeries) -> Complete:
    """Return a log with the wind in its true-wind columns; measured apparent wind stays as it is.

    Notes
    -----
    The angle is that to the bow, or to the course where there is no compass.
    """
    series = log.series
    bow = bridged(log.bow, series.fix_interval_s) if log.origins.bow == "course over ground" else log.bow
    angle = series.twa if wind.direction_source == INSTRUMENTS else wind.angle_deg(bow)
    filled = replace(
        series,
        twd=wind.twd_deg,
        twa=np.where(np.isfinite(angle), angle, np.nan),
        tws=np.where(np.isfinite(wind.tws_kn), wind.tws_kn, series.tws),
    )
    origins = replace(
        log.origins,
        true_wind=log.origins.true_wind or wind.direction_source,
        wind_direction=log.origins.wind_direction or wind.direction_source,
    )
    return Complete(filled, bow, origins)
