"""A log as the analysis after sailing needs it: speed, angle through the water, wind and heel each second."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.complete import Complete
from cringle.track.sailing.gaps import across_pauses, bridged, bridged_direction
from cringle.track.sailing.heel import leeward_heel_deg, sign_is_turned
from cringle.units import degrees_to_radians, wrap_degrees, wrap_signed_degrees

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sailing:
    """One row a second, shape (n,); NaN where nothing is known.

    Parameters
    ----------
    start : datetime
        UTC of row 0.
    speed_kn : array
        Through the water: measured, else over ground (less the stream when it is known).
    course_deg : array
        Course through the water in [0, 360): over ground (less the stream when it is known).
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


def sailing_of(log: Complete) -> Sailing:
    """Return what the analysis works on.

    Parameters
    ----------
    log : Complete
        The log on the even clock, with its wind, and with the stream taken off speed and course when it is
        known (`cringle.track.wind.stream.through_water`).
    """
    series = log.series
    speed, course = across_pauses(
        series,
        np.where(np.isfinite(series.stw), series.stw, series.sog),
        np.where(np.isfinite(series.cog), series.cog, log.bow),
    )
    wind_from = bridged_direction(series.twd)
    heel = leeward_heel_deg(series)
    heel = -heel if sign_is_turned(heel, series) else heel
    return Sailing(
        start=series.start,
        speed_kn=speed,
        course_deg=wrap_degrees(course),
        wind_from_deg=wind_from,
        wind_kn=bridged(series.tws),
        angle_deg=wrap_signed_degrees(wind_from - course),
        heel_deg=heel,
    )
