"""Two tracks on one clock and one map, and what makes that impossible."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.distance import position_metres, radii
from cringle.track.series import Series
from cringle.units import degrees_to_radians, wrap_signed_degrees

Floats = NDArray[np.float64]

SHORTEST_OVERLAP_S: Final = 120
SAME_LOG_M: Final = 0.01
SAME_LOG_SHARE: Final = 0.99
"""Two boats are never within a centimetre of each other for a whole log: that is one log twice."""

CLOCK_FAULTS_S: Final = (-7200, -3600, -1800, 1800, 3600, 7200)
"""A clock left on local or on summer time is off by one of these [s]."""

FAR_APART_M: Final = 500.0
CLEARLY_NEARER: Final = 0.25
"""A shift of the clock that brings boats from far apart to a quarter of that is most likely the truth."""


@dataclass(frozen=True)
class Together:
    """Both boats on one clock, a row a second.

    Parameters
    ----------
    start : datetime
        UTC of row 0.
    north, east : array, shape (2, n)
        Metres from the first position of our boat; NaN where a boat has no fix. [m]
    heel : array, shape (2, n)
        Size of the roll, whichever side; NaN where not measured. [deg]
    wind_from : array, shape (n,)
        Direction the true wind comes from, where a log has it; NaN elsewhere. [deg]
    """

    start: datetime
    north: Floats
    east: Floats
    heel: Floats
    wind_from: Floats

    @property
    def rows(self) -> int:
        """Number of seconds."""
        return int(self.north.shape[1])

    def at(self, second: float) -> datetime:
        """Return the UTC of a row."""
        return self.start + timedelta(seconds=float(second))

    @property
    def separation(self) -> Floats:
        """Distance between the boats, shape (n,) [m]."""
        found: Floats = np.hypot(self.north[0] - self.north[1], self.east[0] - self.east[1])
        return found


def together(ours: Series, other: Series, *, shift_s: float = 0.0) -> Together:
    """Put two logs on one clock and one map.

    Parameters
    ----------
    ours, other : Series
        Each on the even one-second clock.
    shift_s : float
        Added to the times of the other log, whole seconds. [s]

    Raises
    ------
    InputError
        They do not overlap by two minutes, are one and the same log, or one of the clocks is most likely
        off; the message says by how much.
    """
    first, second = _seconds(ours.start), _seconds(other.start) + round(shift_s)
    start, end = max(first, second), min(first + ours.rows, second + other.rows)
    if end - start < SHORTEST_OVERLAP_S:
        raise _no_overlap(ours, other, shift_s)
    found = _cut(ours, other, (start - first, start - second), end - start)
    near = found.separation
    if np.nanmean(near < SAME_LOG_M) > SAME_LOG_SHARE:
        raise InputError(
            "both logs are the same track", next_step="give the log of each boat; copies tell nothing"
        )
    _check_clock(ours, other, float(np.nanmedian(near)), shift_s)
    return found


def _seconds(at: datetime) -> int:
    return int(at.astimezone(UTC).timestamp())


def _no_overlap(ours: Series, other: Series, shift_s: float) -> InputError:
    spans = [f"{one.start:%Y-%m-%d %H:%M:%S} to {one.at(one.rows):%H:%M:%S}" for one in (ours, other)]
    apart = (other.start - ours.start).total_seconds() + shift_s
    hours = round(apart / 1800.0) / 2.0
    guess = f", or if one clock is off give --shift {-hours * 3600.0:g}" if hours else ""
    return InputError(
        f"the logs share less than {SHORTEST_OVERLAP_S} s: ours {spans[0]}, the other {spans[1]} (UTC)",
        next_step=f"give two logs of the same time{guess}",
    )


def _cut(ours: Series, other: Series, skip: tuple[int, int], rows: int) -> Together:
    parts = [slice(one, one + rows) for one in skip]
    north, east = np.empty((2, rows)), np.empty((2, rows))
    for boat, (series, part) in enumerate(zip((ours, other), parts, strict=True)):
        north[boat], east[boat] = position_metres(series.lat[part], series.lon[part])
    _same_origin(ours, other, parts, (north, east))
    heel = np.abs(np.stack([ours.roll[parts[0]], other.roll[parts[1]]]))
    wind = np.where(np.isfinite(ours.twd[parts[0]]), ours.twd[parts[0]], other.twd[parts[1]])
    return Together(ours.at(skip[0]), north, east, heel, wind)


def _same_origin(ours: Series, other: Series, parts: list[slice], places: tuple[Floats, Floats]) -> None:
    """Move the second boat's map so that both have the first boat's origin."""
    origins = []
    for series, part in zip((ours, other), parts, strict=True):
        known = np.flatnonzero(np.isfinite(series.lat[part]) & np.isfinite(series.lon[part]))
        if not known.size:
            raise InputError("a log has no position in the shared time", next_step="check its GPS")
        origins.append((series.lat[part][known[0]], series.lon[part][known[0]]))
    (lat, lon), (other_lat, other_lon) = origins
    north_radius, east_radius = radii(np.array([(lat + other_lat) / 2.0]))
    places[0][1] += float(degrees_to_radians(other_lat - lat) * north_radius[0])
    places[1][1] += float(degrees_to_radians(wrap_signed_degrees(other_lon - lon)) * east_radius[0])


def _check_clock(ours: Series, other: Series, apart_m: float, shift_s: float) -> None:
    """Refuse far-apart boats that another setting of one clock brings together."""
    if apart_m < FAR_APART_M:
        return
    first, second = _seconds(ours.start), _seconds(other.start) + round(shift_s)
    best, nearest = 0, apart_m
    for fault in CLOCK_FAULTS_S:
        start, end = max(first, second + fault), min(first + ours.rows, second + fault + other.rows)
        if end - start < SHORTEST_OVERLAP_S:
            continue
        moved = _cut(ours, other, (start - first, start - second - fault), end - start)
        median = float(np.nanmedian(moved.separation))
        best, nearest = (fault, median) if median < nearest else (best, nearest)
    if nearest < CLEARLY_NEARER * apart_m:
        raise InputError(
            f"the boats are {apart_m:.0f} m apart, but {nearest:.0f} m with one clock moved by "
            f"{best / 3600.0:g} h: a clock is most likely off",
            next_step=f"if so, give --shift {shift_s + best:g}",
        )


def alone(ours: Series) -> Together:
    """Return one boat by itself on the map; the second row is empty.

    Raises
    ------
    InputError
        It has no position.
    """
    north, east = position_metres(ours.lat, ours.lon)
    if not np.isfinite(north).any():
        raise InputError("the log has no position", next_step="check its GPS")
    nothing = np.full(ours.rows, np.nan)
    heel = np.stack([np.abs(ours.roll), nothing])
    return Together(ours.start, np.stack([north, nothing]), np.stack([east, nothing]), heel, ours.twd)


def cut(both: Together, first: int, last: int) -> Together:
    """Return the rows from one second up to another."""
    part = slice(first, last)
    return Together(
        both.at(first), both.north[:, part], both.east[:, part], both.heel[:, part], both.wind_from[part]
    )
