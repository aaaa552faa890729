"""How strong the wind was: entered by hand, from a second file, or inferred from the boat's own speed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.constants import REFERENCE_WIND_HEIGHT_M
from cringle.errors import LogError, OutOfRangeError
from cringle.physics.wind import wind_speed_at_height
from cringle.track.circle import difference_deg
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.reading.complete import Complete, boat_speed
from cringle.track.reading.short_list import TIMES, instant_of, read_list
from cringle.track.sliding import sum_around
from cringle.track.wind.series import BY_HAND, FILE, INFERRED
from cringle.units import degrees_to_radians

Array = NDArray[np.float64]

WIND_ENDING: Final = ".wind"
"""A record with the log's own name and this ending (CSV: time, tws_kn) is taken as the wind of that log."""

MOST_KN: Final = 60.0
HAND_SD_KN: Final = 1.5
FILE_SD_KN: Final = 1.0
INFERRED_SD_KN: Final = 1.5
"""Standard deviations of a wind at the boat, by where it comes from [kn] (judgement)."""

LONGEST_HOLD_S: Final = 1800.0
"""A reading of a second file stands for no longer than this [s]."""

INFER_OVER_S: Final = 60.0
"""The boat's own speed tells a wind averaged over so long [s]."""

TURN_OVER_S: Final = 10
TURN_DEG: Final = 30.0
RECOVERY_S: Final = 25
"""After a turn of so much within ten seconds the speed tells no wind for so long [s] (judgement)."""

USUAL_PACE: Final = 0.96
"""Share of the polar's speed that a crew makes between manoeuvres (judgement)."""

LONG_S: Final = 1200.0
LOG_SPREAD: Final = 0.4
GUST_SPREAD: Final = 0.2
PACE_SPREAD: Final = 0.025
"""The wind of twenty minutes is within 40 % of that of the log, that of a minute within 20 % of it, the pace
of a minute within 2.5 % of the usual one (standard deviations, judgement)."""

FARTHEST: Final = 9.0
"""A minute further off than three standard deviations counts no more than that."""

FINER: Final = 4
"""Winds tried between two of the polar's."""

LEAST_BY_HEEL: Final = 0.8
"""The heel sailed leaves at least this share of the speed: else heel or wind are wrong (judgement)."""

CLEAR_ANGLES_DEG: Final = ((30.0, 75.0), (110.0, 178.0))


@dataclass(frozen=True)
class Strength:
    """Wind speed at 10 m over time, from a person or a file.

    Parameters
    ----------
    times : tuple of datetime
        UTC, rising; one only for a speed that holds all the time.
    tws_kn : tuple of float
        At 10 m.
    sd_kn : float
        Standard deviation at the boat.
    source : str
        `BY_HAND` or `FILE`.
    """

    times: tuple[datetime, ...]
    tws_kn: tuple[float, ...]
    sd_kn: float
    source: str

    @property
    def mean_kn(self) -> float:
        """Mean speed."""
        return float(np.mean(self.tws_kn))


@dataclass(frozen=True)
class Blown:
    """Wind speed on the even clock, its standard deviation, where it came from, and notes."""

    tws_kn: Array
    sd_kn: Array
    source: str | None
    notes: tuple[str, ...]


def wind_beside(log: Path) -> Path | None:
    """Return the wind record that lies beside a log: the same name, ending in ``.wind``; None without one."""
    record = log.with_suffix(WIND_ENDING)
    return record if record != log and record.is_file() else None


def entered_strength(wind_kn: float, *, height_m: float = REFERENCE_WIND_HEIGHT_M) -> Strength:
    """Return a wind speed a person gave for the whole log, taken to 10 m.

    Raises
    ------
    OutOfRangeError
        It is no wind.
    """
    if not 0.0 < wind_kn <= MOST_KN:
        raise OutOfRangeError("wind", wind_kn, 0.1, MOST_KN, unit="kn")
    at_ten = float(_at_ten(np.array([wind_kn]), height_m)[0])
    return Strength((datetime(1970, 1, 1, tzinfo=UTC),), (at_ten,), HAND_SD_KN, BY_HAND)


def read_strength(path: Path, *, height_m: float = REFERENCE_WIND_HEIGHT_M) -> Strength:
    """Return the wind of a second file: CSV with ``time`` (ISO 8601, UTC) and ``tws_kn``.

    Parameters
    ----------
    path : Path
        For example a committee boat's readings.
    height_m : float
        Where they were taken; they are converted to 10 m.

    Raises
    ------
    LogError
        The file cannot be read; the message has the line.
    """
    readings = sorted(_reading(row, path, line) for line, row in read_list(path, ("time", "tws_kn")))
    if not readings:
        raise LogError("no reading in it", path=path, next_step="give at least one row")
    speeds = _at_ten(np.array([speed for _, speed in readings]), height_m)
    return Strength(tuple(at for at, _ in readings), tuple(speeds.tolist()), FILE_SD_KN, FILE)


def _reading(row: dict[str, str], path: Path, line: int) -> tuple[datetime, float]:
    try:
        at, speed = instant_of(row["time"]), float(row["tws_kn"])
    except (TypeError, ValueError) as error:
        raise LogError(str(error), path=path, line=line, next_step=TIMES) from error
    if not 0.0 <= speed <= MOST_KN:
        raise LogError(f"tws_kn {speed:g}; accepted 0 to {MOST_KN:g}", path=path, line=line)
    return at, speed


def _at_ten(speed_kn: Array, height_m: float) -> Array:
    if height_m == REFERENCE_WIND_HEIGHT_M:
        return speed_kn
    return np.asarray(wind_speed_at_height(speed_kn, from_height=height_m, to_height=REFERENCE_WIND_HEIGHT_M))


def strength_on_clock(
    strength: Strength | None, log: Complete, twd_deg: Array, polar: FrozenPolar | None
) -> Blown:
    """Return the wind speed at each second: what was given, else what the boat's polar makes of her speed."""
    rows = log.series.rows
    if strength is not None:
        tws = _given(strength, log, rows)
        return Blown(tws, np.where(np.isfinite(tws), strength.sd_kn, np.nan), strength.source, ())
    if polar is None:
        return Blown(np.full(rows, np.nan), np.full(rows, np.nan), None, ("the wind's speed is not known",))
    tws = _inferred(log, twd_deg, polar)
    note = "the wind's speed is inferred from the boat's own polar: it cannot show whether she was fast"
    return Blown(tws, np.where(np.isfinite(tws), INFERRED_SD_KN, np.nan), INFERRED, (note,))


def _given(strength: Strength, log: Complete, rows: int) -> Array:
    if len(strength.times) == 1 and strength.source == BY_HAND:
        return np.full(rows, strength.tws_kn[0])
    seconds = np.array([(at - log.series.start) / timedelta(seconds=1) for at in strength.times])
    clock = np.arange(rows, dtype=np.float64)
    place = np.searchsorted(seconds, clock).clip(0, seconds.size)
    before = np.where(place > 0, clock - seconds[np.maximum(place - 1, 0)], np.inf)
    after = np.where(place < seconds.size, seconds[np.minimum(place, seconds.size - 1)] - clock, np.inf)
    near = np.minimum(before, after) <= LONGEST_HOLD_S
    return np.where(near, np.interp(clock, seconds, np.array(strength.tws_kn)), np.nan)


def _recovering(course_deg: Array) -> NDArray[np.bool_]:
    """Return where the boat turned in the last half minute, and is still below her speed."""
    ahead = np.exp(1j * degrees_to_radians(np.nan_to_num(course_deg)))
    turned = np.zeros(course_deg.size, dtype=bool)
    turned[TURN_OVER_S:] = np.abs(np.angle(ahead[TURN_OVER_S:] / ahead[:-TURN_OVER_S])) > degrees_to_radians(
        TURN_DEG
    )
    since = np.convolve(turned.astype(float), np.ones(RECOVERY_S), mode="full")[: course_deg.size]
    return np.asarray(since > 0.0)


def _inferred(log: Complete, twd_deg: Array, polar: FrozenPolar) -> Array:
    """Return the wind in which the boat would make the speed she made, over a minute, and bridged.

    Notes
    -----
    Nobody sails the polar all the time: the boat is taken to make `USUAL_PACE` of it, at the heel she sailed
    where it is logged. So what is found of her trim is what was put in. Speeds are averaged before they are
    turned into a wind: the polar flattens out with it, so that the mean of winds would be too high.
    """
    angle = difference_deg(twd_deg, log.series.cog)
    speed = boat_speed(log.series)
    clear = np.zeros(angle.shape, dtype=bool)
    for low, high in CLEAR_ANGLES_DEG:
        clear |= (np.abs(angle) >= low) & (np.abs(angle) <= high)
    use = clear & np.isfinite(speed) & (speed > 0.4 * np.nanpercentile(np.append(speed, 0.0), 80))
    use &= ~_recovering(log.series.cog)
    if not use.any():
        return np.full(angle.shape, np.nan)
    possible = np.zeros((polar.wind_kn.size, angle.size))
    possible[:, use] = _possible(polar, angle[use], log.series.roll[use])
    return _wind_of(polar, np.where(use, speed, 0.0) / USUAL_PACE, possible, use)


def _possible(polar: FrozenPolar, angle_deg: Array, roll_deg: Array) -> Array:
    """Return the polar's speed in each of its winds at angles and the heel sailed, shape (winds, n)."""
    found = []
    for wind in polar.wind_kn:
        best = polar.best_heel(wind, angle_deg)
        wanted = polar.speed(wind, angle_deg, best)
        heel = np.where(np.isfinite(roll_deg), -np.sign(angle_deg) * roll_deg, best)
        found.append(np.maximum(polar.speed(wind, angle_deg, heel), LEAST_BY_HEEL * wanted))
    return np.maximum.accumulate(np.array(found), axis=0)


def _wind_of(polar: FrozenPolar, speed_kn: Array, possible_kn: Array, use: NDArray[np.bool_]) -> Array:
    """Return the wind in which the possible speeds of the minute around each row are those made, bridged.

    Notes
    -----
    To windward a boat hardly gains from more wind once she has enough: there a speed tells little. So the
    wind of the minute is held near the one that explains most of the `LONG_S` around, beats and runs
    together, within the spread `GUST_SPREAD` of gusts over it.
    """
    count = sum_around(use.astype(float), int(INFER_OVER_S))
    centre = np.flatnonzero(count >= INFER_OVER_S / 4)
    if centre.size == 0:
        made, could = speed_kn.sum()[None], possible_kn.sum(axis=1)[:, None]
    else:
        made = sum_around(speed_kn, int(INFER_OVER_S))[centre]
        could = np.stack([sum_around(one, int(INFER_OVER_S))[centre] for one in possible_kn])
    winds = np.linspace(polar.wind_kn[0], polar.wind_kn[-1], FINER * (polar.wind_kn.size - 1) + 1)
    place = np.arange(winds.size) / FINER
    low = np.minimum(place.astype(np.intp), polar.wind_kn.size - 2)
    finer = could[low] + (place - low)[:, None] * (could[low + 1] - could[low])
    misfit = ((made / np.maximum(finer, 1e-9) - 1.0) / PACE_SPREAD) ** 2
    usual = winds[_over_long(np.minimum(misfit, FARTHEST), winds).argmin(axis=0)]
    found = _lowest(winds, misfit + (np.log(winds[:, None] / usual) / GUST_SPREAD) ** 2)
    if centre.size == 0:
        return np.full(speed_kn.size, float(found[0]))
    return np.asarray(np.interp(np.arange(speed_kn.size), centre, found))


def _over_long(misfit: Array, winds: Array) -> Array:
    """Return the misfit of each wind over `LONG_S`, a minute counted once, and what the log adds to it."""
    whole = winds[misfit.sum(axis=1).argmin()]
    near = (np.log(winds / whole) / LOG_SPREAD) ** 2
    around = np.stack([sum_around(one, int(LONG_S)) / INFER_OVER_S for one in misfit])
    return np.asarray(around + near[:, None])


def _lowest(winds: Array, cost: Array) -> Array:
    """Return where a cost is lowest, by a parabola through the lowest point and its neighbours."""
    row = np.clip(cost.argmin(axis=0), 1, winds.size - 2)
    left, middle, right = (np.take_along_axis(cost, (row + step)[None], 0)[0] for step in (-1, 0, 1))
    bend = left - 2.0 * middle + right
    shift = np.where(bend > 1e-12, 0.5 * (left - right) / np.maximum(bend, 1e-12), 0.0)
    return np.asarray(winds[row] + np.clip(shift, -1.0, 1.0) * (winds[1] - winds[0]))
