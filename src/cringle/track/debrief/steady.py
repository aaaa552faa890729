"""Stretches of steady sailing: what a fit of the speed model and a trial are fed with."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import circular_mean_deg, unwind_deg
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.race.structure import Structure
from cringle.track.reading.complete import Complete, boat_speed
from cringle.track.sailing.heel import leeward_heel_deg
from cringle.track.wind.series import WindSeries, bridged, with_wind

Array = NDArray[np.float64]

LENGTH_S: Final = 40
"""A stretch is so long [s]: shorter than the swing of the wind, longer than the helm's wander."""

COURSE_SD_DEG: Final = 6.0
SPEED_SD_SHARE: Final = 0.12
"""Within a stretch course (about a straight line) and speed keep to these standard deviations (judgement)."""

CLEAR_BEFORE_S: Final = 10
CLEAR_AFTER_S: Final = 40
"""No stretch lies from 10 s before a manoeuvre or a rounding to 40 s after it."""


CASES: Final = {"up": "up", "run": "soak furled", "reach": ""}
"""What a fit of the speed model calls a kind of leg; a person names a reach, or another way to run, first."""


@dataclass(frozen=True)
class Steady:
    """One stretch of steady sailing; means over it, None where not known.

    Parameters
    ----------
    start : datetime
        UTC.
    seconds : int
        Length.
    leg : int
        Number of its leg, from 1.
    kind : str
        ``up``, ``run`` or ``reach``.
    side : str
        ``starboard`` or ``port``: where the wind comes from.
    tws_kn, twa_deg : float
        True wind; the angle without sign.
    tws_sd_kn, twa_sd_deg : float
        How sure they are.
    speed_kn : float
        Through the water where measured, else over ground.
    heel_deg : float or None
        To leeward.
    """

    start: datetime
    seconds: int
    leg: int
    kind: str
    side: str
    tws_kn: float | None
    twa_deg: float
    tws_sd_kn: float | None
    twa_sd_deg: float
    speed_kn: float
    heel_deg: float | None


def find_steady(
    log: Complete, wind: WindSeries, structure: Structure, *, manoeuvres: Sequence[datetime] = ()
) -> tuple[Steady, ...]:
    """Return the stretches of steady sailing on the legs of a log.

    Parameters
    ----------
    log : Complete
        On the even clock.
    wind : WindSeries
        True wind on the same clock.
    structure : Structure
        The legs.
    manoeuvres : sequence of datetime
        When the boat tacked or gybed; stretches keep clear of them, and of roundings.
    """
    series = log.series
    course = unwind_deg(bridged(series.cog, series.fix_interval_s))
    speed, clear = boat_speed(series), _clear(log, structure, manoeuvres)
    angle = wind.angle_deg(course)
    heel = leeward_heel_deg(with_wind(log, wind).series)
    out = []
    for number, leg in enumerate(structure.legs, start=1):
        for first in _firsts(clear, leg.first, leg.end):
            rows = slice(first, first + LENGTH_S)
            if _is_steady(course[rows], speed[rows]):
                out.append(
                    Steady(
                        start=series.at(first),
                        seconds=LENGTH_S,
                        leg=number,
                        kind=leg.kind,
                        side="starboard" if np.nanmedian(angle[rows]) > 0.0 else "port",
                        tws_kn=_mean(wind.tws_kn[rows]),
                        twa_deg=abs(circular_mean_deg(angle[rows])),
                        tws_sd_kn=_mean(wind.tws_sd_kn[rows]),
                        twa_sd_deg=float(np.nanmean(wind.twd_sd_deg[rows])),
                        speed_kn=float(np.nanmean(speed[rows])),
                        heel_deg=_mean(heel[rows]),
                    )
                )
    return tuple(out)


def _clear(log: Complete, structure: Structure, manoeuvres: Sequence[datetime]) -> NDArray[np.bool_]:
    """Return the rows far enough from every manoeuvre and rounding."""
    clear = np.ones(log.series.rows, dtype=bool)
    turns = [round((at - log.series.start).total_seconds()) for at in manoeuvres]
    for row in (*turns, *(one.row for one in structure.roundings), *(one.row for one in structure.starts)):
        clear[max(row - CLEAR_BEFORE_S, 0) : max(row + CLEAR_AFTER_S, 0)] = False
    return clear


def _firsts(clear: NDArray[np.bool_], first: int, end: int) -> list[int]:
    """Return the first rows of stretches end to end in the clear parts of a leg."""
    out, row = [], first
    while row + LENGTH_S <= end:
        blocked = np.flatnonzero(~clear[row : row + LENGTH_S])
        if blocked.size:
            row += int(blocked[-1]) + 1
        else:
            out.append(row)
            row += LENGTH_S
    return out


def _is_steady(course: Array, speed: Array) -> bool:
    known = np.isfinite(course) & np.isfinite(speed)
    if known.mean() < 0.9:
        return False
    mean = float(speed[known].mean())
    clock = np.flatnonzero(known).astype(np.float64)
    slope, start = np.polyfit(clock, course[known], 1)
    off = course[known] - (start + slope * clock)
    return bool(off.std() <= COURSE_SD_DEG and speed[known].std() <= SPEED_SD_SHARE * mean)


def _mean(values: Array) -> float | None:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size >= 0.5 * values.size else None


def steady_csv(stretches: Sequence[Steady]) -> str:
    """Return the stretches as CSV, a unit in every header; unknown is empty."""
    text = io.StringIO()
    names = [one.name for one in fields(Steady)]
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([*names, "case"])
    for one in stretches:
        writer.writerow([*(_cell(getattr(one, name)) for name in names), CASES[one.kind]])
    return text.getvalue()


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.isoformat()
    return f"{value:.3f}" if isinstance(value, float) else str(value)


@dataclass(frozen=True)
class OverPolar:
    """Observed speed over the polar's at the same wind, angle and heel, of one kind of leg.

    Parameters
    ----------
    kind : str
        ``up``, ``run`` or ``reach``.
    stretches : int
        How many there are.
    p10, p50, p90 : float
        Percentiles of the ratio.
    best_tenth_kn : float
        Speed the boat reaches in one stretch out of ten at the mean wind: a target of her own.
    """

    kind: str
    stretches: int
    p10: float
    p50: float
    p90: float
    best_tenth_kn: float


def over_polar(stretches: Sequence[Steady], polar: FrozenPolar) -> tuple[OverPolar, ...]:
    """Return how the observed speeds lie over the polar, for each kind of leg with three stretches or more.

    Parameters
    ----------
    stretches : sequence of Steady
        Those without a wind speed are left out.
    polar : FrozenPolar
        What they are held against; heel that is not known is taken at the target.
    """
    out = []
    for kind in ("up", "run", "reach"):
        chosen = [one for one in stretches if one.kind == kind and one.tws_kn is not None]
        if len(chosen) < 3:
            continue
        wind = np.array([one.tws_kn for one in chosen], dtype=np.float64)
        angle = np.array([one.twa_deg for one in chosen])
        best = polar.best_heel(wind, angle)
        heel = np.array([np.nan if one.heel_deg is None else one.heel_deg for one in chosen])
        predicted = polar.speed(wind, angle, np.where(np.isfinite(heel), heel, best))
        ratio = np.array([one.speed_kn for one in chosen]) / predicted
        low, middle, high = np.percentile(ratio, [10, 50, 90])
        target = polar.target(float(wind.mean()), upwind=kind == "up").speed_kn
        out.append(OverPolar(kind, len(chosen), float(low), float(middle), float(high), float(high * target)))
    return tuple(out)
