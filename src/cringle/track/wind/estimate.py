"""The true wind of a log: from its instruments where it has them, else from the courses sailed."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.reading.complete import Complete
from cringle.track.turns.turns import find_turns
from cringle.track.wind.axis import MiddleOfTurn, find_axis
from cringle.track.wind.instruments import calibrate, heel_corrected, settled_direction
from cringle.track.wind.samples import Samples, take_samples
from cringle.track.wind.series import INSTRUMENTS, TRACK, WindSeries, empty_in_pauses
from cringle.track.wind.smooth import Smoothed, smooth_direction
from cringle.track.wind.states import sliding_mean
from cringle.track.wind.stream import Stream, through_water
from cringle.track.wind.strength import Strength, strength_on_clock
from cringle.units import radians_to_degrees

Array = NDArray[np.float64]

TYPICAL_WIND_KN: Final = 10.0

FELT_S: Final = 60
"""A crew steers by the wind of the last minute [s] (judgement)."""

LARGEST_TURN_DEG: Final = 140.0
"""A larger turn is no tack or gybe from one usual angle to the other [deg] (judgement)."""

INSTRUMENT_SD_DEG: Final = 3.0
INSTRUMENT_SD_KN: Final = 0.5
"""Standard deviation of a masthead unit's mean over some seconds (judgement)."""

UNKNOWN_STREAM_KN: Final = 0.2
"""Standard deviation of a current across the wind that nobody told [kn]; widens the interval (judgement)."""

MODEL_SD_DEG: Final = 1.5
"""Added to what the smoothing says of itself: boats do not sail the same angle on both sides (judgement)."""

NO_STREAM: Final = "no current assumed: a current across the wind turns the direction found from the track"


def estimate_wind(
    log: Complete,
    *,
    polar: FrozenPolar | None = None,
    strength: Strength | None = None,
    stream: Stream | None = None,
) -> WindSeries | None:
    """Return the true wind of a log, second by second.

    Parameters
    ----------
    log : Complete
        The log on the even clock.
    polar : FrozenPolar, optional
        Of this boat. Without one a sketch helps to find the direction, and no speed is inferred.
    strength : Strength, optional
        Wind speed entered by hand or read from a second file.
    stream : Stream, optional
        The water's own motion; without it none is assumed, the notes say so and the interval is wider.

    Returns
    -------
    WindSeries or None
        None when the log has no wind and its courses do not tell the direction.
    """
    if np.isfinite(log.series.twd).any():
        return _of_instruments(heel_corrected(log, polar), strength)
    log = log if stream is None else through_water(log, stream)
    samples = take_samples(log)
    shape = polar or sketch_polar()
    axis = find_axis(samples, shape, _turns(log))
    if axis is None:
        return None
    known = None if strength is None else strength_on_clock(strength, log, log.series.twd, None).tws_kn
    usual = _expected_angles(shape, known, samples)
    smoothed = smooth_direction(samples, axis.twd_deg, angles_deg=usual)
    twd, sd = _on_clock(samples, smoothed, log.series.rows)
    if strength is None and polar is not None:
        usual = _expected_angles(shape, strength_on_clock(None, log, twd, polar).tws_kn, samples)
        smoothed = smooth_direction(samples, axis.twd_deg, angles_deg=usual)
        twd, sd = _on_clock(samples, smoothed, log.series.rows)
    if stream is None:
        sd = np.hypot(
            sd, radians_to_degrees(UNKNOWN_STREAM_KN / max(float(np.nanmedian(log.series.sog)), 1.0))
        )
    blown = strength_on_clock(strength, log, twd, polar)
    found = WindSeries(
        twd_deg=twd,
        tws_kn=blown.tws_kn,
        twd_sd_deg=sd,
        tws_sd_kn=blown.sd_kn,
        direction_source=TRACK,
        strength_source=blown.source,
        notes=(*(() if stream else (NO_STREAM,)), *blown.notes),
    )
    return empty_in_pauses(found, log)


def _turns(log: Complete) -> list[MiddleOfTurn]:
    """Return the turns of a log that take less than a whole circle, with the direction half way through."""
    return [
        MiddleOfTurn((one.at - log.series.start).total_seconds(), one.before_deg + 0.5 * one.turn_deg)
        for one in find_turns(log)
        if abs(one.turn_deg) <= LARGEST_TURN_DEG
    ]


def _expected_angles(polar: FrozenPolar, known_kn: Array | None, samples: Samples) -> tuple[Array, Array]:
    """Return the target angles upwind and on the run at each sample, of the last minute's wind if known."""
    wind = np.full(samples.seconds.size, TYPICAL_WIND_KN)
    if known_kn is not None and np.isfinite(known_kn).any():
        felt = sliding_mean(known_kn, FELT_S)
        rows = np.clip(samples.seconds.astype(int) - FELT_S // 2, 0, known_kn.size - 1)
        wind = np.where(np.isfinite(felt[rows]), felt[rows], float(np.nanmean(known_kn)))
    up, run = (polar.target(wind, upwind=upwind).angle_deg for upwind in (True, False))
    return up, run


def _on_clock(samples: Samples, found: Smoothed, rows: int) -> tuple[Array, Array]:
    clock = np.arange(rows)
    turned = np.interp(clock, samples.seconds, np.unwrap(found.twd_deg, period=360.0))
    sd = np.interp(clock, samples.seconds, np.hypot(found.sd_deg, MODEL_SD_DEG))
    return np.mod(turned, 360.0), sd


def _of_instruments(log: Complete, strength: Strength | None) -> WindSeries:
    """Return the wind the log carries; a speed that it lacks is taken from what was entered."""
    series = log.series
    known = np.isfinite(series.twd)
    measured = np.isfinite(series.tws).any()
    blown = None if measured else strength_on_clock(strength, log, series.twd, None)
    found = calibrate(log)
    return WindSeries(
        twd_deg=settled_direction(series.twd),
        tws_kn=series.tws if blown is None else blown.tws_kn,
        twd_sd_deg=np.where(known, INSTRUMENT_SD_DEG, np.nan),
        tws_sd_kn=np.where(known, INSTRUMENT_SD_KN, np.nan) if blown is None else blown.sd_kn,
        direction_source=INSTRUMENTS,
        strength_source=INSTRUMENTS if blown is None else blown.source,
        notes=(*(() if found is None else found.notes), *(() if blown is None else blown.notes)),
    )
