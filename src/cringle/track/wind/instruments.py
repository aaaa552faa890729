"""Wind instruments upright again, and whether they agree from tack to tack: offsets for vane and log."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from cringle.physics.wind import true_wind
from cringle.track.circle import circular_mean_deg, difference_deg
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.reading.complete import Complete, boat_speed
from cringle.track.series import Series
from cringle.track.sides import side_changes
from cringle.track.sliding import mean_around
from cringle.units import (
    degrees_to_radians,
    knots_to_metres_per_second,
    metres_per_second_to_knots,
    radians_to_degrees,
    wrap_degrees,
    wrap_signed_degrees,
)

Array = NDArray[np.float64]

MOST_HEEL_DEG: Final = 60.0
NEAR_S, FAR_S = 15, 75
"""Before a tack is 75 to 15 s earlier, after it 15 to 75 s later."""

DIRECTION_OVER_S: Final = 9
"""The true wind's direction is the mean of so many seconds (judgement)."""

UPWIND_BELOW_DEG: Final = 70.0
FEWEST_TACKS: Final = 3
FACTORS: Final = np.linspace(0.5, 1.8, 131)
"""Factors tried on the boat speed."""

CLEAR_JUMP_DEG: Final = 4.0
CLEAR_OFFSET_DEG: Final = 2.0
"""Smaller jumps and offsets are within what a vane and a helm do (judgement)."""


@dataclass(frozen=True)
class Calibration:
    """How the instruments agree from tack to tack.

    Parameters
    ----------
    tacks : int
        Tacks it is taken from.
    vane_offset_deg : float
        To be added to the apparent wind angle, so that it reads the same on both tacks.
    vane_offset_sd_deg : float
        Standard error of it.
    jump_deg : float
        True wind direction on starboard tack less that on port tack, as the instruments have it; with the
        vane's offset in place.
    jump_sd_deg : float
        Standard error of it.
    log_factor : float or None
        What the boat speed must be multiplied by for the jump to vanish; None when no factor does it.
    angle_factor : float
        What the true wind angle must be multiplied by instead.
    notes : tuple of str
        The same in sentences.
    """

    tacks: int
    vane_offset_deg: float
    vane_offset_sd_deg: float
    jump_deg: float
    jump_sd_deg: float
    log_factor: float | None
    angle_factor: float
    notes: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {**vars(self), "notes": list(self.notes)}


def upright_wind(speed: Array, angle: Array, heel: Array) -> tuple[Array, Array]:
    """Return the apparent wind in the level plane from what a masthead unit shows when heeled.

    Parameters
    ----------
    speed, angle : array
        As shown [any unit, rad].
    heel : array
        Either sign. [rad]

    Notes
    -----
    The unit turns with the mast: it sees the wind along the boat whole, that across it by the cosine of the
    heel. So across the boat there is more wind than shown, and it comes from further aft.
    """
    along, across = speed * np.cos(angle), speed * np.sin(angle) / np.cos(heel)
    return np.hypot(along, across), np.arctan2(across, along)


def heel_corrected(log: Complete, polar: FrozenPolar | None = None) -> Complete:
    """Return a log whose true wind is worked out anew from apparent wind, boat speed and heel.

    Parameters
    ----------
    log : Complete
        The log on the even clock. Unchanged where apparent wind is missing, or where the instruments gave
        the true wind themselves.
    polar : FrozenPolar, optional
        Of this boat: where no heel is logged the heel to keep in that wind stands in, for the vane leans
        over all the same. Without it nothing is changed then.
    """
    series = log.series
    worked_out = log.origins.true_wind == "apparent wind and boat speed"
    if not (worked_out and series.has("awa") and series.has("aws")):
        return log
    if not series.has("roll"):
        if polar is None:
            return log
        series = replace(series, roll=polar.best_heel(np.nan_to_num(series.tws), np.nan_to_num(series.twa)))
    upright = _with_true_wind(series, boat_speed(series), series.awa)
    return Complete(replace(upright, roll=log.series.roll), log.bow, log.origins)


def settled_direction(twd_deg: Array) -> Array:
    """Return directions averaged over `DIRECTION_OVER_S` on the circle; NaN stays NaN.

    Notes
    -----
    Vane, compass and the sea's motion make each second's direction stray by some degrees; the wind's own
    direction at the boat changes more slowly than that.
    """
    ahead = degrees_to_radians(twd_deg)
    mean = np.arctan2(
        mean_around(np.sin(ahead), DIRECTION_OVER_S), mean_around(np.cos(ahead), DIRECTION_OVER_S)
    )
    return np.where(np.isfinite(twd_deg), wrap_degrees(radians_to_degrees(mean)), np.nan)


def _with_true_wind(series: Series, speed_kn: Array, awa_deg: Array) -> Series:
    """Return the series with true wind from apparent wind, heel and boat speed."""
    heel = degrees_to_radians(np.clip(np.nan_to_num(series.roll), -MOST_HEEL_DEG, MOST_HEEL_DEG))
    felt = knots_to_metres_per_second(np.maximum(series.aws, 0.0))
    speed, angle = upright_wind(felt, degrees_to_radians(awa_deg), heel)
    wind = true_wind(speed, angle, boat_speed=knots_to_metres_per_second(np.maximum(speed_kn, 0.0)))
    twa = wrap_signed_degrees(radians_to_degrees(np.asarray(wind.angle)))
    bow = series.hdg if series.has("hdg") else series.cog
    return replace(
        series,
        twa=twa,
        tws=metres_per_second_to_knots(np.asarray(wind.speed)),
        twd=wrap_degrees(bow + twa),
    )


def calibrate(log: Complete) -> Calibration | None:
    """Return how vane and boat speed agree from tack to tack, with the offsets that would make them agree.

    Parameters
    ----------
    log : Complete
        With heading, apparent wind and boat speed.

    Returns
    -------
    Calibration or None
        None without these, or with fewer than `FEWEST_TACKS` tacks.

    Notes
    -----
    The true wind does not know on which tack the boat is. Where the apparent angle is wider on one tack than
    on the other the vane is turned; where the direction worked out jumps at each tack, the angles are too
    narrow or too wide: boat speed reads wrong, or the air is bent before it reaches the vane. Which of the
    two the data cannot tell; both cures are given.
    """
    series = log.series
    if not (series.has("awa") and series.has("aws") and series.has("hdg")):
        return None
    pairs = _tack_windows(series)
    if len(pairs) < FEWEST_TACKS:
        return None
    means = [[circular_mean_deg(series.awa[rows]) for rows in pair] for pair in pairs]
    offsets = np.array([-0.5 * (starboard + port) for starboard, port in means])
    offset = float(offsets.mean())
    jumps = _jumps(series, pairs, offset, 1.0)
    jump = float(jumps.mean())
    spread = np.sqrt(len(pairs))
    fitted = _with_true_wind(series, boat_speed(series), series.awa + offset)
    size = float(np.nanmean([abs(circular_mean_deg(fitted.twa[rows])) for pair in pairs for rows in pair]))
    return Calibration(
        tacks=len(pairs),
        vane_offset_deg=offset,
        vane_offset_sd_deg=float(offsets.std(ddof=1) / spread),
        jump_deg=jump,
        jump_sd_deg=float(jumps.std(ddof=1) / spread),
        log_factor=_log_factor(series, pairs, offset),
        angle_factor=(size - 0.5 * jump) / size,
        notes=_notes(offset, jump),
    )


def _tack_windows(series: Series) -> list[tuple[slice, slice]]:
    """Return the rows on starboard and on port beside each tack that was close-hauled on both sides."""
    out = []
    for change in side_changes(series.awa):
        before = slice(max(change.row - FAR_S, change.before.start), change.row - NEAR_S)
        after = slice(change.row + NEAR_S, min(change.row + FAR_S, change.after.end))
        if before.stop - before.start < NEAR_S or after.stop - after.start < NEAR_S:
            continue
        if any(abs(circular_mean_deg(series.awa[rows])) > UPWIND_BELOW_DEG for rows in (before, after)):
            continue
        out.append((before, after) if change.before.side > 0 else (after, before))
    return out


def _jumps(series: Series, pairs: list[tuple[slice, slice]], offset: float, factor: float) -> Array:
    """Return the true wind direction on starboard tack less that on port tack, at each tack [deg]."""
    made = _with_true_wind(series, factor * boat_speed(series), series.awa + offset)
    return np.array(
        [
            float(difference_deg(circular_mean_deg(made.twd[starboard]), circular_mean_deg(made.twd[port])))
            for starboard, port in pairs
        ]
    )


def _log_factor(series: Series, pairs: list[tuple[slice, slice]], offset: float) -> float | None:
    """Return the factor on the boat speed at which the mean jump is nought, between trials on a line."""
    coarse = FACTORS[::10]
    means = np.array([float(_jumps(series, pairs, offset, float(one)).mean()) for one in coarse])
    crossing = np.flatnonzero(np.diff(np.sign(means)) != 0)
    if crossing.size == 0:
        return None
    nearest = crossing[np.argmin(np.abs(coarse[crossing] - 1.0))]
    part = means[nearest] / (means[nearest] - means[nearest + 1])
    return float(coarse[nearest] + part * (coarse[nearest + 1] - coarse[nearest]))


def _notes(offset: float, jump: float) -> tuple[str, ...]:
    notes = []
    if abs(offset) >= CLEAR_OFFSET_DEG:
        side = "starboard" if offset < 0.0 else "port"
        notes.append(f"the vane reads {abs(offset):.1f} deg too far to {side}: add {offset:+.1f} deg to it")
    if abs(jump) >= CLEAR_JUMP_DEG:
        notes.append(
            f"the true wind's direction jumps by {abs(jump):.1f} deg from tack to tack:"
            " boat speed reads wrong, or the wind angle does"
        )
    return tuple(notes)
