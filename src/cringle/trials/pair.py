"""Two boats side by side: who gained, by height or by speed, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.trials.always_valid import always_valid_interval
from cringle.trials.bootstrap import LONG_RECORD_S, Resampled, resample
from cringle.trials.noise import (
    FEWEST_VALUES,
    ONE_MINUTE_S,
    Estimate,
    Grid,
    NoiseFound,
    contrasts,
    noise_found,
    noise_grid,
)
from cringle.trials.together import Together
from cringle.trials.usable import DEFAULT_LIMITS, DOWN, Bins, Limits, Usable, in_bins, usable
from cringle.trials.verdict import Verdict, judge
from cringle.units import degrees_to_radians, radians_to_degrees

Floats = NDArray[np.float64]

DEFAULT_MATTERS_M_PER_MIN: Final = 2.0
"""Where nobody says what matters: about six seconds a mile upwind at 4 kn made good (our own choice)."""

MOST_BINS: Final = 150
"""Longer records are put into wider bins: the noise models cost the cube of their number."""

WIND_SMOOTH_S: Final = 180
SIDE_SHARE: Final = 0.15
"""A side of the course counts as swapped when each boat was to the right for at least this share."""

PER_SIDE_M: Final = 100.0
"""The bias across the course is given for boats this far apart [m]."""


@dataclass(frozen=True)
class Carry:
    """Who had the change from a second on: 1 our boat, -1 the other, 0 neither."""

    from_s: float
    who: int


@dataclass(frozen=True)
class PairWish:
    """What a person says about a pair besides the logs.

    Parameters
    ----------
    carries : tuple of Carry
        In order of time; empty means our boat had the change all the time.
    matters_m_per_min : float
        The smallest difference worth knowing.
    limits : Limits
        What makes a stretch a fair comparison.
    """

    carries: tuple[Carry, ...] = ()
    matters_m_per_min: float = DEFAULT_MATTERS_M_PER_MIN
    limits: Limits = DEFAULT_LIMITS


@dataclass(frozen=True)
class Stretch:
    """A usable stretch: from, to (UTC), tack and leg, who had the change, and gain of our boat [m/min]."""

    start: datetime
    end: datetime
    tack: str
    leg: str
    carried: int
    gain_m_per_min: float
    height_m_per_min: float
    speed_m_per_min: float
    heel_deg: tuple[float | None, float | None]


@dataclass(frozen=True)
class PairResult:
    """What a pair says. Gains are of the boat with the change over the boat without, in m/min.

    Parameters
    ----------
    gain, height, speed : Estimate
        In all, and its two parts; the parts sum to the whole.
    boat : Estimate or None
        Our boat over the other with the same settings; None unless the change was swapped over.
    gradient : Estimate or None
        Gain for being 100 m to the right; None unless the boats swapped sides.
    usable_min, effective_min : float
        Minutes that count, and independent minutes that would tell as much.
    noise : NoiseFound
        S.d. of one-minute gains and how fast it forgets.
    verdict : Verdict
        In words.
    always_low, always_high : float
        The interval that stays honest when one stops because it looks good.
    second_opinion : Resampled or None
        Block resampling, from an hour on.
    stretches : tuple of Stretch
        What was used.
    left_out_min : mapping
        Reason to minutes.
    notes : tuple of str
        What can fool you here.
    series : GainSeries
        For a picture.
    """

    gain: Estimate
    height: Estimate
    speed: Estimate
    boat: Estimate | None
    gradient: Estimate | None
    usable_min: float
    effective_min: float
    noise: NoiseFound
    verdict: Verdict
    always_low: float
    always_high: float
    second_opinion: Resampled | None
    stretches: tuple[Stretch, ...]
    left_out_min: Mapping[str, float] = field(hash=False)
    notes: tuple[str, ...]
    series: GainSeries


@dataclass(frozen=True)
class GainSeries:
    """Gain of our boat over the other, a value a bin, where it counts, in m/min.

    Parameters
    ----------
    start : datetime
        UTC of second 0.
    middle_s, gain, height, speed : array, shape (n,)
        Middle of the bin [s]; gain and its parts.
    carried, right_m, stretch : array, shape (n,)
        Who had the change; how far our boat was to the right [m]; number of the stretch.
    width_s : float
        Length of a bin. [s]
    """

    start: datetime
    middle_s: Floats
    gain: Floats
    height: Floats
    speed: Floats
    carried: Floats
    right_m: Floats
    stretch: NDArray[np.intp]
    width_s: float


def smooth_wind(both: Together, wind_from_deg: float | None = None) -> Floats:
    """Return the wind's direction for every second: the one given, else the log's own over three minutes.

    Raises
    ------
    InputError
        No direction was given and no log has one.
    """
    if wind_from_deg is not None:
        return np.full(both.rows, wind_from_deg)
    known = np.isfinite(both.wind_from)
    if known.mean() < 0.5:
        raise InputError(
            "no log says where the wind came from", next_step="give it: --twd 240, or note it in the outing"
        )
    angle = degrees_to_radians(both.wind_from)
    kernel = np.ones(min(WIND_SMOOTH_S, both.rows))
    sine, cosine = (np.where(known, part(np.where(known, angle, 0.0)), 0.0) for part in (np.sin, np.cos))
    turned = np.arctan2(np.convolve(sine, kernel, "same"), np.convolve(cosine, kernel, "same"))
    return radians_to_degrees(turned)


def compare(both: Together, wind_from_deg: Floats, wish: PairWish | None = None) -> PairResult:
    """Return what two tracks side by side say about the change one of the boats carried.

    Parameters
    ----------
    both : Together
        Both boats on one clock.
    wind_from_deg : array, shape (n,)
        From `smooth_wind`. [deg]
    wish : PairWish, optional
        Who carried the change when, and what matters.

    Raises
    ------
    InputError
        No usable minute; the message counts why.
    """
    wanted = wish or PairWish()
    bins = in_bins(both, wind_from_deg, wanted.limits)
    found = usable(bins, wanted.limits)
    series = gain_series(both.start, bins, found, wanted)
    return result_of(series, wanted, stretches=stretches_of(both, bins, series), left_out=found.left_out_min)


def gain_series(start: datetime, bins: Bins, found: Usable, wish: PairWish) -> GainSeries:
    """Return gain, height and speed of the bins that count.

    Notes
    -----
    With speed v and course angle a off the wind the progress to the mark is v cos a (upwind; its negative
    downwind). v1 c1 - v2 c2 = (v1 - v2)(c1 + c2) / 2 + (c1 - c2)(v1 + v2) / 2: speed and height.
    """
    kept = found.stretch >= 0
    if kept.sum() < FEWEST_VALUES:
        raise _nothing_usable(found)
    cosine = np.cos(degrees_to_radians(bins.angle_deg[:, kept]))
    cosine = np.where(bins.point[0, kept] == DOWN, -cosine, cosine)
    speed = bins.speed[:, kept] * ONE_MINUTE_S
    by_speed = (speed[0] - speed[1]) * (cosine[0] + cosine[1]) / 2.0
    by_height = (cosine[0] - cosine[1]) * (speed[0] + speed[1]) / 2.0
    middle = bins.middle_s[kept]
    return GainSeries(
        start,
        middle,
        by_speed + by_height,
        by_height,
        by_speed,
        carried_at(wish.carries, middle),
        bins.right[kept],
        found.stretch[kept],
        wish.limits.bin_s,
    )


def _nothing_usable(found: Usable) -> InputError:
    reasons = sorted(found.left_out_min.items(), key=lambda one: -one[1])
    words = ", ".join(f"{minutes:.0f} min {name}" for name, minutes in reasons) or "the logs are too short"
    steps = {
        "on different legs": "compare only while both sail the same leg",
        "on different tacks": "sail the same tack, three to ten lengths apart",
        "too far apart": "sail nearer, or check the clocks: --shift",
        "in dirty air": "keep out of each other's wind: abeam, three lengths or more apart",
    }
    biggest = reasons[0][0] if reasons else ""
    return InputError(
        f"less than a minute of fair comparison: {words}",
        next_step=steps.get(biggest, "sail straight side by side for some minutes"),
    )


def carried_at(carries: Sequence[Carry], seconds: Floats) -> Floats:
    """Return who had the change at some seconds; our boat before anything is said."""
    who = np.ones(seconds.size)
    for carry in sorted(carries, key=lambda one: one.from_s):
        who[seconds >= carry.from_s] = carry.who
    return who


def result_of(
    series: GainSeries,
    wish: PairWish,
    *,
    stretches: tuple[Stretch, ...] = (),
    left_out: Mapping[str, float] | None = None,
) -> PairResult:
    """Return what a gain series says: the pure statistics, whatever the gains were measured with."""
    coarse = widened(series)
    design, names = _design(coarse)
    grid = noise_grid(coarse.middle_s, coarse.width_s)
    parts = np.stack([coarse.gain, coarse.height, coarse.speed])
    wanted = [[float(one == name) for one in names] for name in names]
    whole, height, speed = contrasts(parts, design, wanted, grid)
    by_name = dict(zip(names, whole, strict=True))
    at = names.index("change")
    noise = noise_found(coarse.gain, design, grid)
    usable_min = series.gain.size * series.width_s / ONE_MINUTE_S
    gain = whole[at]
    always = _always(coarse, design, at, grid)
    return PairResult(
        gain=gain,
        height=height[at],
        speed=speed[at],
        boat=by_name.get("boat"),
        gradient=by_name.get("side"),
        usable_min=usable_min,
        effective_min=min(usable_min, (noise.one_minute_sd / gain.standard_error) ** 2),
        noise=noise,
        verdict=judge(gain, usable_min, matters_m_per_min=wish.matters_m_per_min),
        always_low=always[0],
        always_high=always[1],
        second_opinion=_second_opinion(series, design.shape[1]),
        stretches=stretches,
        left_out_min=left_out or {},
        notes=_notes(names, series),
        series=series,
    )


def widened(series: GainSeries) -> GainSeries:
    """Return the series in wider bins when it has more than `MOST_BINS`; bins never bridge a stretch."""
    times = int(np.ceil(series.gain.size / MOST_BINS))
    if times == 1:
        return series
    groups = []
    for number in np.unique(series.stretch):
        for who in np.unique(series.carried[series.stretch == number]):
            rows = np.flatnonzero((series.stretch == number) & (series.carried == who))
            groups += [rows[first : first + times] for first in range(0, rows.size - times + 1, times)]
    index = np.array(groups)
    columns = (series.middle_s, series.gain, series.height, series.speed, series.carried, series.right_m)
    middle, gain, height, speed, carried, right = (column[index].mean(axis=1) for column in columns)
    stretch = series.stretch[index[:, 0]]
    width_s = series.width_s * times
    return GainSeries(series.start, middle, gain, height, speed, carried, right, stretch, width_s)


def _design(series: GainSeries) -> tuple[Floats, tuple[str, ...]]:
    """Return what each bin's gain is made of: the change, the boats where swapped, the side where swapped."""
    columns, names = [series.carried], ["change"]
    if np.unique(series.carried).size > 1:
        columns, names = [*columns, np.ones(series.gain.size)], [*names, "boat"]
    elif not series.carried.any():
        raise InputError(
            "neither boat ever had the change", next_step="say when it was put on: cringle trial change"
        )
    share = float((series.right_m > 0.0).mean())
    if SIDE_SHARE <= share <= 1.0 - SIDE_SHARE and series.gain.size > 3 * FEWEST_VALUES:
        columns, names = [*columns, series.right_m / PER_SIDE_M], [*names, "side"]
    return np.stack(columns, axis=1), tuple(names)


def _always(series: GainSeries, design: Floats, at: int, grid: Grid) -> tuple[float, float]:
    """Return the always-valid interval of the change, the other parts of the design taken out first."""
    others = np.delete(design @ np.diag(np.linalg.pinv(design) @ series.gain), at, axis=1).sum(axis=1)
    carrying = series.carried != 0.0
    if carrying.sum() < FEWEST_VALUES:
        return -np.inf, np.inf
    signed = (series.gain - others) * series.carried
    return always_valid_interval(signed[carrying], series.middle_s[carrying], grid.width_s)


def _second_opinion(series: GainSeries, columns: int) -> Resampled | None:
    if columns > 1 or series.gain.size * series.width_s < LONG_RECORD_S:
        return None
    return resample(series.gain * series.carried)


def _notes(names: Sequence[str], series: GainSeries) -> tuple[str, ...]:
    notes = []
    if "boat" not in names:
        notes.append("not swapped over: the difference of boats and crews is in this number")
    if "side" not in names:
        notes.append(
            "the boats kept their sides: a difference of wind or tide across the course is in this number"
        )
    if np.unique(series.stretch).size == 1:
        notes.append("one stretch only: one shift or one puff may have made it")
    return tuple(notes)


def stretches_of(both: Together, bins: Bins, series: GainSeries) -> tuple[Stretch, ...]:
    """Return the usable stretches of a series, each with who had the change."""
    pairs = sorted({(int(n), int(who)) for n, who in zip(series.stretch, series.carried, strict=True)})
    return tuple(_stretch(both, bins, series, number, who) for number, who in pairs)


def _stretch(both: Together, bins: Bins, series: GainSeries, number: int, who: int) -> Stretch:
    rows = np.flatnonzero((series.stretch == number) & (series.carried == who))
    middle = series.middle_s[rows]
    place = np.searchsorted(bins.middle_s, middle)
    gain, height, speed = (float(part[rows].mean()) for part in (series.gain, series.height, series.speed))
    return Stretch(
        start=both.at(middle[0] - series.width_s / 2.0),
        end=both.at(middle[-1] + series.width_s / 2.0),
        tack="port" if bins.angle_deg[0, place[0]] > 0.0 else "starboard",
        leg="down" if bins.point[0, place[0]] == DOWN else "up",
        carried=who,
        gain_m_per_min=gain,
        height_m_per_min=height,
        speed_m_per_min=speed,
        heel_deg=_heels(bins.heel_deg[:, place]),
    )


def _heels(heel_deg: Floats) -> tuple[float | None, float | None]:
    means = [float(one[np.isfinite(one)].mean()) if np.isfinite(one).any() else None for one in heel_deg]
    return means[0], means[1]
