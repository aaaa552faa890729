"""A log as the analysis after sailing needs it: speed, angle through the water, wind and heel each second."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.circle import difference_deg
from cringle.track.complete import Complete
from cringle.track.heel import leeward_heel_deg, sign_is_turned
from cringle.units import degrees_to_radians, radians_to_degrees, wrap_degrees, wrap_signed_degrees

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Stream:
    """The water's own motion over ground: speed [kn] and where it goes to [deg true]."""

    speed_kn: float = 0.0
    to_deg: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.speed_kn <= 10.0:
            raise InputError(
                f"stream of {self.speed_kn:g} kn, accepted 0 to 10", next_step="give its speed in knots"
            )


NO_STREAM = Stream()


@dataclass(frozen=True)
class Sailing:
    """One row a second, shape (n,); NaN where nothing is known.

    Parameters
    ----------
    start : datetime
        UTC of row 0.
    speed_kn : array
        Through the water: measured, else over ground less the stream.
    course_deg : array
        Course through the water in [0, 360): over ground less the stream.
    wind_from_deg, wind_kn : array
        True wind.
    angle_deg : array
        True wind angle of the course, in (-180, 180], starboard positive.
    heel_deg : array
        To leeward; NaN in tacks and gybes.
    """

    start: datetime
    speed_kn: Array
    course_deg: Array
    wind_from_deg: Array
    wind_kn: Array
    angle_deg: Array
    heel_deg: Array

    @property
    def rows(self) -> int:
        """Number of seconds."""
        return int(self.speed_kn.size)

    def at(self, row: float) -> datetime:
        """Return the UTC of a row."""
        return self.start + timedelta(seconds=float(row))

    def row_of(self, at: datetime) -> int:
        """Return the row of an instant, kept inside the log."""
        return int(np.clip(round((at - self.start).total_seconds()), 0, max(self.rows - 1, 0)))

    def to_windward_kn(self) -> Array:
        """Return the speed made good to windward, by the wind of each second."""
        return self.speed_kn * np.cos(degrees_to_radians(self.angle_deg))


def with_wind(log: Complete, wind_from_deg: Array, wind_kn: Array) -> Complete:
    """Return the log with a wind that was worked out elsewhere, in every second where its own is missing.

    Parameters
    ----------
    log : Complete
        The log on the even clock.
    wind_from_deg, wind_kn : array, shape (n,)
        The wind; NaN where it is not known.
    """
    series = log.series
    course = np.where(series.has("cog"), series.cog, log.bow)
    angle = difference_deg(wind_from_deg, course)
    return replace(
        log,
        series=replace(
            series,
            twd=np.where(np.isfinite(series.twd), series.twd, wind_from_deg),
            tws=np.where(np.isfinite(series.tws), series.tws, wind_kn),
            twa=np.where(np.isfinite(series.twa), series.twa, angle),
        ),
    )


def sailing_of(log: Complete, *, stream: Stream = NO_STREAM) -> Sailing:
    """Return what the analysis works on.

    Parameters
    ----------
    log : Complete
        The log on the even clock, with its wind.
    stream : Stream
        The water's own motion, when known.
    """
    series = log.series
    ground = degrees_to_radians(np.where(np.isfinite(series.cog), series.cog, log.bow))
    toward = degrees_to_radians(stream.to_deg)
    speed = np.where(np.isfinite(series.sog), series.sog, series.stw)
    east = speed * np.sin(ground) - stream.speed_kn * np.sin(toward)
    north = speed * np.cos(ground) - stream.speed_kn * np.cos(toward)
    course = wrap_degrees(radians_to_degrees(np.arctan2(east, north)))
    heel = leeward_heel_deg(series)
    heel = -heel if sign_is_turned(heel, series) else heel
    return Sailing(
        start=series.start,
        speed_kn=np.where(np.isfinite(series.stw), series.stw, np.hypot(east, north)),
        course_deg=course,
        wind_from_deg=series.twd,
        wind_kn=series.tws,
        angle_deg=wrap_signed_degrees(series.twd - course),
        heel_deg=heel,
    )
