"""The water's own motion, constant or a series; off the track it gives course and speed through the water."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError, OutOfRangeError
from cringle.track.reading.complete import Complete
from cringle.units import degrees_to_radians, radians_to_degrees, wrap_degrees

Array = NDArray[np.float64]

FASTEST_STREAM_KN = 12.0


@dataclass(frozen=True)
class Stream:
    """A current over time.

    Parameters
    ----------
    speed_kn, to_deg : tuple of float
        How fast, and where it sets to; one value each for a constant, else one for each time.
    times : tuple of datetime
        UTC, rising; empty for a constant.

    Raises
    ------
    InputError, OutOfRangeError
        The lengths differ, or a speed is none.
    """

    speed_kn: tuple[float, ...]
    to_deg: tuple[float, ...]
    times: tuple[datetime, ...] = ()

    def __post_init__(self) -> None:
        if not len(self.speed_kn) == len(self.to_deg) == max(len(self.times), 1):
            raise InputError("current: times, speeds and directions differ in number", next_step="give all")
        for speed in self.speed_kn:
            if not 0.0 <= speed <= FASTEST_STREAM_KN:
                raise OutOfRangeError("current", speed, 0.0, FASTEST_STREAM_KN, unit="kn")

    def on_clock(self, start: datetime, rows: int) -> tuple[Array, Array]:
        """Return its parts to the north and to the east at each second [kn]."""
        toward = degrees_to_radians(np.array(self.to_deg))
        north, east = np.array(self.speed_kn) * np.cos(toward), np.array(self.speed_kn) * np.sin(toward)
        if not self.times:
            return np.full(rows, north[0]), np.full(rows, east[0])
        seconds = [(at - start) / timedelta(seconds=1) for at in self.times]
        clock = np.arange(rows)
        return np.interp(clock, seconds, north), np.interp(clock, seconds, east)


def through_water(log: Complete, stream: Stream) -> Complete:
    """Return a log whose speed and course are those through the water; positions stay over ground."""
    series = log.series
    north, east = stream.on_clock(series.start, series.rows)
    course = degrees_to_radians(series.cog)
    ahead, across = series.sog * np.cos(course) - north, series.sog * np.sin(course) - east
    course_deg = wrap_degrees(radians_to_degrees(np.arctan2(across, ahead)))
    moved = replace(series, sog=np.hypot(ahead, across), cog=course_deg)
    bow = course_deg if log.origins.bow == "course over ground" else log.bow
    return Complete(moved, bow, log.origins)
