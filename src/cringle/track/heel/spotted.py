"""Heel from few readings: a spotter's list, an inclinometer read aloud. Shares with an interval, no more.

Readings a minute apart tell how often heel was right and how far off it was on average. How fast it came back
into the band, and whether it hunts, they cannot tell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from cringle.errors import LogError
from cringle.track.heel.discipline import BAND_DEG, HeelRows
from cringle.track.heel.felt import LARGEST_DEG
from cringle.track.ledger.ledger import RUN, UPWIND
from cringle.track.reading.complete import Complete
from cringle.track.reading.short_list import instant_of, read_list
from cringle.track.sailing.heel import leeward_heel_deg

Array = NDArray[np.float64]

SPARSE_S: Final = 10.0
"""Readings further apart than this are looked at one by one [s]; closer ones are a record."""

FEWEST: Final = 5
"""Fewer readings than this say nothing."""

NINETY: Final = 1.645
"""Half width of the 90 % interval in standard errors, normal distribution."""


@dataclass(frozen=True)
class Spotted:
    """One reading: when (UTC), and degrees to leeward."""

    at: datetime
    heel_deg: float


@dataclass(frozen=True)
class SpottedShare:
    """What readings say about a part of the race.

    Parameters
    ----------
    count, in_band : int
        Readings, and those within `BAND_DEG` of the target.
    in_band_share, in_band_share_low, in_band_share_high : float
        The share of the time in the band, and its 90 % interval.
    error_mean_deg, error_mean_deg_low, error_mean_deg_high : float
        Mean of heel less target, and its 90 % interval. [deg]
    """

    count: int
    in_band: int
    in_band_share: float
    in_band_share_low: float
    in_band_share_high: float
    error_mean_deg: float
    error_mean_deg_low: float
    error_mean_deg_high: float


@dataclass(frozen=True)
class HeelSpotted:
    """Heel from few readings; parts with fewer than `FEWEST` are None.

    Parameters
    ----------
    given : int
        Readings in all; those off the legs, in tacks and gybes, or without a target do not count.
    whole, upwind, run : SpottedShare or None
        On all legs, on beats, on runs.
    """

    given: int
    whole: SpottedShare | None
    upwind: SpottedShare | None
    run: SpottedShare | None


def read_spotted(path: Path, *, start: datetime, time_zone: str) -> list[Spotted]:
    """Return the readings of a CSV with ``time`` and ``heel_deg`` (to leeward), other columns left alone.

    Parameters
    ----------
    path : Path
        The list.
    start : datetime
        First fix of the log, UTC: times of day are of its local day, or of the next after midnight.
    time_zone : str
        IANA name of the zone of times of day (``18:35`` or ``18:35:20``); ISO 8601 times say their own, else
        they are UTC.

    Raises
    ------
    LogError
        The list cannot be read; the message has the line and what is accepted.
    """
    day = (start, ZoneInfo(time_zone))
    return [_reading(row, path, line, day) for line, row in read_list(path, ("time", "heel_deg"))]


def _reading(row: dict[str, str], path: Path, line: int, day: tuple[datetime, ZoneInfo]) -> Spotted:
    try:
        at, heel = _instant(row["time"].strip(), *day), float(row["heel_deg"])
    except (AttributeError, TypeError, ValueError) as error:
        raise LogError(
            str(error),
            path=path,
            line=line,
            next_step="times as 18:35 or 2026-06-17T17:35:00Z, heel in degrees",
        ) from error
    if not abs(heel) <= LARGEST_DEG:
        raise LogError(
            f"heel {heel:g}; accepted: up to {LARGEST_DEG:g} either way",
            path=path,
            line=line,
            next_step="give degrees to leeward; heel to windward is negative",
        )
    return Spotted(at, heel)


def _instant(text: str, start: datetime, zone: ZoneInfo) -> datetime:
    if "T" in text or " " in text:
        return instant_of(text).astimezone(UTC)
    local = start.astimezone(zone)
    at = datetime.combine(local.date(), time.fromisoformat(text), zone)
    return (at if at >= local - timedelta(hours=12) else at + timedelta(days=1)).astimezone(UTC)


def sparse_heel(log: Complete, seconds: Array, roll_deg: Array) -> tuple[Complete, tuple[Spotted, ...]]:
    """Return a log without its heel, and the readings, where they are few and far apart; else it as it is.

    Parameters
    ----------
    log : Complete
        With its wind: it tells the leeward side.
    seconds, roll_deg : array, shape (n,)
        Times of the roll channel (Unix time) and its readings, NaN where there is none.
    """
    known = np.isfinite(roll_deg)
    if not known.any() or (known.sum() > 1 and np.median(np.diff(seconds[known])) <= SPARSE_S):
        return log, ()
    heel = leeward_heel_deg(log.series)
    rows = np.round(seconds[known] - log.series.start.timestamp()).astype(np.int64)
    rows = rows[(rows >= 0) & (rows < heel.size)]
    found = tuple(Spotted(log.series.at(row), float(heel[row])) for row in rows if np.isfinite(heel[row]))
    if not found:
        return log, ()
    return replace(log, series=replace(log.series, roll=np.full(heel.size, np.nan))), found


def spotted_heel(
    readings: Sequence[Spotted], rows: HeelRows, *, start: datetime, steady: NDArray[np.bool_]
) -> HeelSpotted | None:
    """Return what few readings say about heel; None without any.

    Parameters
    ----------
    readings : sequence of Spotted
        In any order.
    rows : HeelRows
        Target, kind and leg of each second; its own heel is not looked at.
    start : datetime
        UTC of row 0.
    steady : bool array, shape (n,)
        Seconds outside tacks, gybes and stops.

    Notes
    -----
    Interval of the share: Wilson's, E. B. Wilson, "Probable inference, the law of succession, and statistical
    inference", J. American Statistical Association 22 (1927), pp. 209-212. Of the mean: Student's.
    """
    if not readings:
        return None
    row = np.array([round((one.at - start).total_seconds()) for one in readings])
    heel = np.array([one.heel_deg for one in readings])
    inside = (row >= 0) & (row < rows.target_deg.size)
    row, heel = row[inside], heel[inside]
    error, kind = heel - rows.target_deg[row], rows.kind[row]
    counts = np.isfinite(error) & (rows.leg[row] >= 0) & steady[row]
    return HeelSpotted(
        given=len(readings),
        whole=_share(error[counts]),
        upwind=_share(error[counts & (kind == UPWIND)]),
        run=_share(error[counts & (kind == RUN)]),
    )


def _share(error: Array) -> SpottedShare | None:
    if error.size < FEWEST:
        return None
    from scipy.stats import t

    inside = int((np.abs(error) <= BAND_DEG).sum())
    mean = float(error.mean())
    half = float(t.ppf(0.95, error.size - 1)) * float(error.std(ddof=1)) / float(np.sqrt(error.size))
    return SpottedShare(
        error.size, inside, inside / error.size, *wilson(inside, error.size), mean, mean - half, mean + half
    )


def wilson(hits: int, count: int) -> tuple[float, float]:
    """Return Wilson's 90 % interval of a share from hits out of a count."""
    share, spread = hits / count, NINETY**2 / count
    middle = (share + 0.5 * spread) / (1.0 + spread)
    half = float(np.sqrt(share * (1.0 - share) * spread + 0.25 * spread**2)) / (1.0 + spread)
    return max(middle - half, 0.0), min(middle + half, 1.0)
