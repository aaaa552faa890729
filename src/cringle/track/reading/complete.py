"""What a log does not carry but its other columns tell: motion from positions, true wind from apparent."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.physics.wind import true_wind
from cringle.track.distance import FASTEST_STEP_M_PER_S, position_metres
from cringle.track.series import Series
from cringle.units import (
    degrees_to_radians,
    knots_to_metres_per_second,
    metres_per_second_to_knots,
    radians_to_degrees,
    wrap_degrees,
    wrap_signed_degrees,
)

Array = NDArray[np.float64]

MOTION_REACH_S: Final = 2
"""Speed and course from positions are taken over this long before and after [s]."""

SLOWEST_COURSE_KN: Final = 0.5
"""Below this speed over ground a course is noise [kn] (common practice, no source)."""

SURE_COVERAGE: Final = 0.2
"""A column that holds less than this share of the rows is too thin to stand for the whole log."""


@dataclass(frozen=True)
class Origins:
    """Where the wind, the bow's direction and the motion came from; None where the log cannot tell.

    Parameters
    ----------
    motion : str or None
        ``log`` or ``positions``.
    true_wind : str or None
        ``instruments`` or ``apparent wind and boat speed``.
    wind_direction : str or None
        ``instruments``, ``heading and wind angle`` or ``course over ground and wind angle``.
    apparent_wind : str or None
        ``instruments``.
    bow : str or None
        ``heading``, ``magnetic heading`` or ``course over ground``: what turns are measured with.
    """

    motion: str | None
    true_wind: str | None
    wind_direction: str | None
    apparent_wind: str | None
    bow: str | None


@dataclass(frozen=True)
class Complete:
    """A series with everything that could be worked out, the direction of the bow, and where it came from."""

    series: Series
    bow: Array
    origins: Origins


def complete(series: Series) -> Complete:
    """Return the series with speed, course and true wind worked out where the log has none."""
    moved, motion = _motion(series)
    winded, wind = _true_wind(moved)
    directed, direction = _wind_direction(winded)
    bow, bow_name = bow_direction(directed)
    felt = "instruments" if series.has("awa") else None
    return Complete(directed, bow, Origins(motion, wind, direction, felt, bow_name))


def bow_direction(series: Series) -> tuple[Array, str | None]:
    """Return the best direction of the bow there is [deg], and its name.

    Course over ground stands in where there is no compass, but not below `SLOWEST_COURSE_KN`.
    """
    if series.has("hdg") and _covers(series.hdg):
        return series.hdg, "heading"
    if series.has("hdg_mag") and _covers(series.hdg_mag):
        return series.hdg_mag, "magnetic heading"
    course = np.where(series.sog >= SLOWEST_COURSE_KN, series.cog, np.nan)
    return course, "course over ground" if np.isfinite(course).any() else None


def boat_speed(series: Series) -> Array:
    """Return speed through the water where measured, else over ground [kn]."""
    return np.where(np.isfinite(series.stw), series.stw, series.sog)


def _covers(values: Array) -> bool:
    return bool(np.isfinite(values).mean() >= SURE_COVERAGE)


def _motion(series: Series) -> tuple[Series, str | None]:
    """Fill speed and course over ground from the positions where the log has neither, none across a jump."""
    if series.has("sog") and series.has("cog"):
        return series, "log"
    if np.isfinite(series.lat).sum() < 2:
        return series, None
    north, east = position_metres(series.lat, series.lon)
    reach = max(MOTION_REACH_S, round(series.fix_interval_s))
    along, across = _rate(north, reach), _rate(east, reach)
    jumps = np.hypot(np.diff(north), np.diff(east)) > FASTEST_STEP_M_PER_S
    jumped = _rate(np.concatenate([[0.0], np.cumsum(jumps)]), reach) > 0.0
    speed = np.where(jumped, np.nan, metres_per_second_to_knots(np.hypot(along, across)))
    course = wrap_degrees(radians_to_degrees(np.arctan2(across, along)))
    sog = series.sog if series.has("sog") else speed
    cog = series.cog if series.has("cog") else np.where(speed >= SLOWEST_COURSE_KN, course, np.nan)
    return replace(series, sog=sog, cog=cog), "positions"


def _rate(values: Array, reach: int) -> Array:
    """Return the change per second over `reach` rows either way; shorter at the ends of the log."""
    rows = np.arange(values.size)
    before, after = np.maximum(rows - reach, 0), np.minimum(rows + reach, values.size - 1)
    rate: Array = (values[after] - values[before]) / np.maximum(after - before, 1)
    return rate


def _true_wind(series: Series) -> tuple[Series, str | None]:
    """Work out true wind angle and speed from the apparent wind where the log has none."""
    if series.has("twa") and _covers(series.twa):
        return series, "instruments"
    speed_kn = boat_speed(series)
    if not (series.has("awa") and series.has("aws") and np.isfinite(speed_kn).any()):
        return series, None
    wind = true_wind(
        knots_to_metres_per_second(np.maximum(series.aws, 0.0)),
        degrees_to_radians(series.awa),
        boat_speed=knots_to_metres_per_second(np.maximum(speed_kn, 0.0)),
    )
    angle = wrap_signed_degrees(radians_to_degrees(np.asarray(wind.angle)))
    tws = series.tws if series.has("tws") else metres_per_second_to_knots(np.asarray(wind.speed))
    return replace(series, twa=angle, tws=tws), "apparent wind and boat speed"


def _wind_direction(series: Series) -> tuple[Series, str | None]:
    """Work out the direction the wind comes from where the log has none."""
    if series.has("twd") and _covers(series.twd):
        return series, "instruments"
    if not series.has("twa"):
        return series, None
    if series.has("hdg") and _covers(series.hdg):
        return replace(series, twd=wrap_degrees(series.hdg + series.twa)), "heading and wind angle"
    course = np.where(series.sog >= SLOWEST_COURSE_KN, series.cog, np.nan)
    if not np.isfinite(course).any():
        return series, None
    return replace(series, twd=wrap_degrees(course + series.twa)), "course over ground and wind angle"
