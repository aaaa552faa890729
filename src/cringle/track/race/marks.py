"""Marks of a course: given by a person, or found where the boat rounded them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.distance import steps
from cringle.track.race.structure import Mark, Rounding
from cringle.track.reading.complete import Complete

Array = NDArray[np.float64]

SEARCH_S: Final = 60
"""A rounding is moved to where the boat was nearest to a given mark, at most so far [s]."""

NEAR_M: Final = 60.0
"""Passing a given mark within this is rounding it [m] (our own limit)."""

FAR_SHARE: Final = 0.5
"""Confidence left of a rounding that was nowhere near its given mark."""

GIVEN_SPREAD_M: Final = 5.0


@dataclass(frozen=True)
class Course:
    """Marks and where they lie: name (``windward``, ``offset``, ``leeward``) to latitude, longitude [deg].

    Raises
    ------
    InputError
        A position is none.
    """

    marks: Mapping[str, tuple[float, float]]

    def __post_init__(self) -> None:
        for name, (lat, lon) in self.marks.items():
            if not (abs(lat) <= 90.0 and abs(lon) <= 180.0):
                raise InputError(
                    f"mark {name}: found {lat:g}, {lon:g}", next_step="give degrees: latitude, longitude"
                )


def near_marks(roundings: Sequence[Rounding], log: Complete, course: Course | None) -> tuple[Rounding, ...]:
    """Return the roundings moved to where the boat was nearest to the given marks, if any are given."""
    if course is None:
        return tuple(roundings)
    return tuple(_near(one, log, course) for one in roundings)


def _near(rounding: Rounding, log: Complete, course: Course) -> Rounding:
    if rounding.mark not in course.marks:
        return rounding
    series = log.series
    low = max(rounding.row - SEARCH_S, 0)
    part = slice(low, min(rounding.row + SEARCH_S + 1, series.rows))
    away = _metres(series.lat[part], series.lon[part], course.marks[rounding.mark])
    if not np.isfinite(away).any():
        return rounding
    row = low + int(np.nanargmin(away))
    if float(np.nanmin(away)) > NEAR_M:
        return replace(rounding, confidence=FAR_SHARE * rounding.confidence)
    sure = rounding.confidence + 0.5 * (1.0 - rounding.confidence)
    return replace(
        rounding,
        row=row,
        at=series.at(row),
        lat_deg=float(series.lat[row]),
        lon_deg=float(series.lon[row]),
        confidence=round(sure, 3),
    )


def _metres(lat_deg: Array, lon_deg: Array, mark: tuple[float, float]) -> Array:
    """Return the distance of positions from a mark [m]."""
    there = np.column_stack((np.full(lat_deg.size, mark[0]), lat_deg)).ravel()
    across = np.column_stack((np.full(lon_deg.size, mark[1]), lon_deg)).ravel()
    return np.asarray(steps(there, across).length[::2])


def found_marks(roundings: Sequence[Rounding], course: Course | None) -> tuple[Mark, ...]:
    """Return the marks: the given ones, and the middle of the roundings of each other with its spread."""
    given = {} if course is None else course.marks
    out = [Mark(name, lat, lon, GIVEN_SPREAD_M, given=True) for name, (lat, lon) in given.items()]
    for name in dict.fromkeys(one.mark for one in roundings if one.mark not in given):
        same = [one for one in roundings if one.mark == name and np.isfinite(one.lat_deg)]
        if not same:
            continue
        first = same[0]
        east = [float(np.mod(one.lon_deg - first.lon_deg + 180.0, 360.0) - 180.0) for one in same]
        lat = float(np.mean([one.lat_deg for one in same]))
        lon = float(np.mod(first.lon_deg + np.mean(east) + 180.0, 360.0) - 180.0)
        lats, lons = (np.array([getattr(one, part) for one in same]) for part in ("lat_deg", "lon_deg"))
        away = _metres(lats, lons, (lat, lon))
        out.append(Mark(name, lat, lon, float(np.sqrt((away**2).mean())), given=False))
    return tuple(out)
