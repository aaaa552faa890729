"""Two boats on the same leg: gain a minute, split into height and speed, and who gained at which turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.circle import difference_deg
from cringle.track.debrief.race import Race
from cringle.track.ledger.ledger import SAILED, UPWIND
from cringle.track.pair.interval import Mean, mean_of
from cringle.track.sailing.sailing import Sailing
from cringle.track.turns.loss import Loss
from cringle.units import degrees_to_radians, knots_to_metres_per_second, radians_to_degrees

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

STRETCH_S: Final = 30
LEAST_S: Final = 20
"""A stretch is half a minute of the clock; it counts with so many seconds in which both sail steadily."""

MATCH_S: Final = 90.0
"""Manoeuvres of one kind within this of each other are held against each other [s]."""

SURE_DEG: Final = 0.3
SURE_KN: Final = 0.03
"""Differences smaller than these are called the same in the trade's form (our own limits)."""


@dataclass(frozen=True)
class Stretch:
    """Half a minute side by side: the first boat less the second.

    Parameters
    ----------
    start : datetime
        UTC.
    kind, side : str
        ``up`` or ``run``; wind from ``starboard`` or ``port``.
    seconds : int
        In which both sailed steadily.
    gain_m_per_min, height_m_per_min, speed_m_per_min : float
        Towards the leg's end; height and speed add up to the gain.
    angle_deg, speed_kn : float
        How much further off the wind, and how much faster.
    """

    start: datetime
    kind: str
    side: str
    seconds: int
    gain_m_per_min: float
    height_m_per_min: float
    speed_m_per_min: float
    angle_deg: float
    speed_kn: float


@dataclass(frozen=True)
class Turned:
    """One manoeuvre of either boat: whose, when, kind, metres lost, and metres gained on the other's."""

    boat: str
    at: datetime
    kind: str
    metres_lost: float | None
    gain_m: float | None


@dataclass(frozen=True)
class Pair:
    """Two boats compared; gains are the first boat's.

    Parameters
    ----------
    first, second : str
        Names.
    stretches : tuple of Stretch
        In order of time.
    gain, height, speed : Mean
        Over all stretches, metres a minute, with 90 % intervals.
    manoeuvres : tuple of Turned
        Of both boats, in order of time.
    words : str
        In the trade's form.
    """

    first: str
    second: str
    stretches: tuple[Stretch, ...]
    gain: Mean
    height: Mean
    speed: Mean
    manoeuvres: tuple[Turned, ...]
    words: str

    @property
    def minutes(self) -> float:
        """Time side by side."""
        return sum(one.seconds for one in self.stretches) / 60.0

    def of_kind(self, kind: str) -> tuple[Stretch, ...]:
        """Return the stretches on beats (``up``) or runs (``run``)."""
        return tuple(one for one in self.stretches if one.kind == kind)

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "schema": 1,
            "first": self.first,
            "second": self.second,
            "words": self.words,
            **self.gain.to_json("gain_m_per_min"),
            **self.height.to_json("height_m_per_min"),
            **self.speed.to_json("speed_m_per_min"),
            "stretches": [{**vars(one), "start": one.start.isoformat()} for one in self.stretches],
            "manoeuvres": [{**vars(one), "at": one.at.isoformat()} for one in self.manoeuvres],
        }


@dataclass(frozen=True)
class _Together:
    """Both boats on one clock."""

    start: datetime
    angle: tuple[Array, Array]
    speed: tuple[Array, Array]
    kind: NDArray[np.int8]
    fair: Mask


def pair_of(first: Race, second: Race, names: tuple[str, str]) -> Pair:
    """Return two boats compared on the legs they sailed at the same time.

    Parameters
    ----------
    first, second : Race
        Each boat's race.
    names : tuple of str
        What to call them.

    Raises
    ------
    InputError
        The logs do not overlap, or the boats never sailed half a minute on the same leg and tack.
    """
    together = _together(first, second)
    stretches = _stretches(together)
    if not stretches:
        raise InputError(
            f"{names[0]} and {names[1]} never sailed half a minute on the same leg and tack at the same time",
            next_step="check that both logs are of the same race and that their clocks are right",
        )
    gain, height, speed = (
        mean_of([getattr(one, f"{part}_m_per_min") for one in stretches])
        for part in ("gain", "height", "speed")
    )
    return Pair(
        *names,
        stretches=stretches,
        gain=gain,
        height=height,
        speed=speed,
        manoeuvres=_manoeuvres(first, second, names),
        words=in_words(stretches, gain.value),
    )


def _together(first: Race, second: Race) -> _Together:
    """Return both boats on the clock of the time they share, with one wind for both."""
    a, b = first.sailing, second.sailing
    begin = max(a.start, b.start)
    end = min(a.at(a.rows), b.at(b.rows))
    count = int((end - begin).total_seconds())
    if count < STRETCH_S:
        raise InputError("the two logs have no minute in common", next_step="compare logs of the same day")
    rows = [slice(_row(one, begin), _row(one, begin) + count) for one in (a, b)]
    wind = _mean_direction(a.wind_from_deg[rows[0]], b.wind_from_deg[rows[1]])
    angle = tuple(difference_deg(wind, one.course_deg[part]) for one, part in zip((a, b), rows, strict=True))
    legs = [(race.rows, part) for race, part in zip((first, second), rows, strict=True)]
    steady = [
        (one.charge[part] == SAILED) & (one.leg[part] >= 0) & _clear(one.charge[part]) for one, part in legs
    ]
    kinds = [one.kind[part] for one, part in legs]
    same = (kinds[0] == kinds[1]) & (np.sign(angle[0]) == np.sign(angle[1]))
    return _Together(
        begin,
        (angle[0], angle[1]),
        (a.speed_kn[rows[0]], b.speed_kn[rows[1]]),
        kinds[0],
        steady[0] & steady[1] & same,
    )


def _row(sailing: Sailing, at: datetime) -> int:
    return round((at - sailing.start).total_seconds())


def _mean_direction(one: Array, other: Array) -> Array:
    """Return the direction half way between two; where only one is known, that one."""
    east, north = (
        np.nansum(np.stack([part(degrees_to_radians(one)), part(degrees_to_radians(other))]), axis=0)
        for part in (np.sin, np.cos)
    )
    known = np.isfinite(one) | np.isfinite(other)
    return np.where(known, radians_to_degrees(np.arctan2(east, north)), np.nan)


CLEAR_S: Final = 10


def _clear(charge: NDArray[np.int8]) -> Mask:
    """Return the rows that are some seconds away from everything that is no steady sailing."""
    busy = (charge != SAILED).astype(float)
    total = np.concatenate([[0.0], np.cumsum(busy)])
    rows = np.arange(charge.size)
    low, high = np.maximum(rows - CLEAR_S, 0), np.minimum(rows + CLEAR_S // 2, charge.size)
    near: Mask = total[high] - total[low] < 0.5
    return near


def _stretches(both: _Together) -> tuple[Stretch, ...]:
    found = []
    for first in range(0, both.fair.size - STRETCH_S + 1, STRETCH_S):
        part = slice(first, first + STRETCH_S)
        sides = np.sign(both.angle[0][part])
        for side in (1.0, -1.0):
            fair = both.fair[part] & (sides == side) & _known(both, part)
            if fair.sum() >= LEAST_S:
                found.append(_stretch(both, np.flatnonzero(fair) + first, side))
    return tuple(found)


def _known(both: _Together, part: slice) -> Mask:
    known: Mask = np.isfinite(both.angle[0][part] + both.angle[1][part])
    return known & np.isfinite(both.speed[0][part] + both.speed[1][part])


def _stretch(both: _Together, rows: NDArray[np.intp], side: float) -> Stretch:
    """Return one stretch; the gain is split so that height and speed add up to it exactly.

    Notes
    -----
    With speeds v, w and cosines c, d of the angles: v c - w d = (v - w) (c + d) / 2 + (v + w) / 2 (c - d);
    the first term is speed, the second height.
    """
    upwind = bool(np.median(both.kind[rows]) == UPWIND)
    sign = 1.0 if upwind else -1.0
    angles = [np.abs(one[rows]) for one in both.angle]
    speeds = [one[rows] for one in both.speed]
    cosines = [sign * np.cos(degrees_to_radians(one)) for one in angles]
    speed = (speeds[0] - speeds[1]) * 0.5 * (cosines[0] + cosines[1])
    height = 0.5 * (speeds[0] + speeds[1]) * (cosines[0] - cosines[1])
    return Stretch(
        start=both.start + timedelta(seconds=int(rows[0])),
        kind="up" if upwind else "run",
        side="starboard" if side > 0.0 else "port",
        seconds=int(rows.size),
        gain_m_per_min=_per_minute(speed + height),
        height_m_per_min=_per_minute(height),
        speed_m_per_min=_per_minute(speed),
        angle_deg=float((angles[0] - angles[1]).mean()),
        speed_kn=float((speeds[0] - speeds[1]).mean()),
    )


def _per_minute(difference_kn: Array) -> float:
    return 60.0 * float(knots_to_metres_per_second(float(difference_kn.mean())))


def _manoeuvres(first: Race, second: Race, names: tuple[str, str]) -> tuple[Turned, ...]:
    """Return the manoeuvres of both, each held against the other boat's nearest of its kind."""
    losses = [[one.loss for one in race.manoeuvres] for race in (first, second)]
    found = [
        Turned(names[which], one.at, one.kind, one.metres_lost, _gain(one, losses[1 - which]))
        for which in (0, 1)
        for one in losses[which]
    ]
    return tuple(sorted(found, key=lambda one: one.at))


def _gain(one: Loss, others: Sequence[Loss]) -> float | None:
    near = [
        (abs((other.at - one.at).total_seconds()), other.metres_lost)
        for other in others
        if other.kind == one.kind and other.metres_lost is not None
    ]
    if one.metres_lost is None or not near:
        return None
    seconds, metres = min(near)
    return metres - one.metres_lost if seconds <= MATCH_S else None


def in_words(stretches: Sequence[Stretch], gain_m_per_min: float) -> str:
    """Return the comparison in the trade's form: ``higher, slower, +4 m a minute``.

    Parameters
    ----------
    stretches : sequence of Stretch
        At least one.
    gain_m_per_min : float
        Mean gain.
    """
    higher = float(np.mean([-one.angle_deg for one in stretches]))
    faster = float(np.mean([one.speed_kn for one in stretches]))
    height = "same height" if abs(higher) < SURE_DEG else ("higher" if higher > 0.0 else "lower")
    speed = "same speed" if abs(faster) < SURE_KN else ("faster" if faster > 0.0 else "slower")
    sign = "+" if gain_m_per_min >= 0.0 else "−"
    return f"{height}, {speed}, {sign}{abs(round(gain_m_per_min))} m a minute"
