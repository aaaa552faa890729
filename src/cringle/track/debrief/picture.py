"""The track turned so that the true wind comes from the top, thinned to what a picture can show."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.distance import position_metres
from cringle.track.series import Series
from cringle.units import degrees_to_radians

Array = NDArray[np.float64]

MOST_POINTS: Final = 3000
"""A line of more points shows no more on a page."""


@dataclass(frozen=True)
class TrackPicture:
    """The track in metres: `across` to the right and `up` towards the wind.

    Parameters
    ----------
    lines : tuple of (across, up) arrays
        Pieces of the track without a gap. [m]
    marks : tuple of (across, up) or None
        Where each asked-for instant lies; None where the position is not known. [m]
    up_direction_deg : float
        Direction at the top of the picture: the mean true wind, or north (0) when the wind is unknown.
    wind_known : bool
        Whether the top is the wind.
    """

    lines: tuple[tuple[Array, Array], ...]
    marks: tuple[tuple[float, float] | None, ...]
    up_direction_deg: float
    wind_known: bool


def track_picture(series: Series, *, marks: list[int], wind_from_deg: float | None) -> TrackPicture:
    """Return the picture of a track.

    Parameters
    ----------
    series : Series
        The log on the even clock.
    marks : list of int
        Rows to be marked, such as manoeuvres.
    wind_from_deg : float or None
        Mean true wind direction; None draws north up.
    """
    up_direction = 0.0 if wind_from_deg is None else wind_from_deg
    north, east = position_metres(series.lat, series.lon)
    turn = degrees_to_radians(up_direction)
    up = north * np.cos(turn) + east * np.sin(turn)
    across = east * np.cos(turn) - north * np.sin(turn)
    places = tuple(
        (float(across[row]), float(up[row])) if np.isfinite(across[row]) else None for row in marks
    )
    return TrackPicture(_pieces(across, up), places, up_direction, wind_from_deg is not None)


def _pieces(across: Array, up: Array) -> tuple[tuple[Array, Array], ...]:
    """Return the known stretches, thinned evenly."""
    known = np.isfinite(across)
    step = max(1, int(np.ceil(known.sum() / MOST_POINTS)))
    edges = np.flatnonzero(np.diff(known.astype(np.int8))) + 1
    bounds = np.concatenate([[0], edges, [known.size]])
    stretches = (
        [slice(int(start), int(end)) for start, end in pairwise(bounds) if known[start]]
        if known.any()
        else []
    )
    return tuple((across[part][::step], up[part][::step]) for part in stretches)


MOST_LEG_POINTS: Final = 600


@dataclass(frozen=True)
class LegPicture:
    """One leg in metres, wind from the top, and its manoeuvres: point of the line and the words beside it."""

    across_m: Array
    up_m: Array
    losses: tuple[tuple[int, str], ...]


def leg_picture(
    series: Series, rows: tuple[int, int], wind_from_deg: float, marks: list[tuple[int, str]]
) -> LegPicture:
    """Return the picture of one leg.

    Parameters
    ----------
    series : Series
        The log on the even clock.
    rows : tuple of int
        First row of the leg and the one after its last.
    wind_from_deg : float
        Mean true wind on the leg.
    marks : list of (int, str)
        Rows to be marked, and what stands beside each.
    """
    first, end = rows
    north, east = position_metres(series.lat[first:end], series.lon[first:end])
    turn = degrees_to_radians(wind_from_deg)
    known = np.flatnonzero(np.isfinite(north))
    kept = known[:: max(1, int(np.ceil(known.size / MOST_LEG_POINTS)))]
    up = north[kept] * np.cos(turn) + east[kept] * np.sin(turn)
    across = east[kept] * np.cos(turn) - north[kept] * np.sin(turn)
    places = tuple(
        (int(np.abs(kept - (row - first)).argmin()), words)
        for row, words in marks
        if first <= row < end and kept.size
    )
    return LegPicture(across, up, places)
