"""The wind shadow of another boat: how much less wind where, what it costs, what clear air is worth.

From memory, with a wide spread: no measurement of a small boat's wake on the water was found. The shape is
that of a turbulent wake (the deficit falls with distance while the wake widens), the numbers are lore.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.ensemble import SEED, Interval, interval, normal_scores
from cringle.speed.lanes import LaneAnswer, LanePolar, Point, Track, track_of
from cringle.units import degrees_to_radians, knots_to_metres_per_second

SCORE_AT_ENDS = 1.6448536269514722
"""Standard normal score of the 95 per cent point."""


@dataclass(frozen=True)
class Spread:
    """A value with the ends of its 90 % spread, and what it is."""

    value: float
    low: float
    high: float
    why: str


SHADOW: dict[str, Spread] = {
    "deficit": Spread(0.35, 0.20, 0.50, "share of the wind missing one mast height to leeward; from memory"),
    "reach": Spread(4.0, 2.5, 7.0, "mast heights over which the deficit falls to 1/e; from memory"),
    "half_width": Spread(0.40, 0.25, 0.60, "half width beside the boat over mast height; estimate"),
    "spreading": Spread(
        0.10, 0.05, 0.16, "growth of the half width with distance; turbulent wakes, from memory"
    ),
}
"""Every assumed number of the shadow with its 90 % spread."""


@dataclass(frozen=True)
class Shadow:
    """The wake of one boat.

    Parameters
    ----------
    deficit : float
        Share of the wind missing one mast height down the wake, on its axis.
    reach : float
        Mast heights over which the deficit falls to 1/e.
    half_width, spreading : float
        Half width at the boat over the mast height, and its growth with distance.
    """

    deficit: float = SHADOW["deficit"].value
    reach: float = SHADOW["reach"].value
    half_width: float = SHADOW["half_width"].value
    spreading: float = SHADOW["spreading"].value

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if not 0.0 < value < 100.0 or (one.name == "deficit" and value >= 1.0):
                raise OutOfRangeError(
                    f"shadow {one.name}", value, 0.0, 1.0 if one.name == "deficit" else 100.0
                )

    def missing(self, down: float, beside: float) -> float:
        """Return the share of the wind missing at a place.

        Parameters
        ----------
        down, beside : float
            Along the wake and square to it, in mast heights; 0 ahead of the boat.

        Notes
        -----
        ``deficit exp(-(down - 1) / reach) exp(-(beside / width)^2 / 2)`` with
        ``width = half_width + spreading down``; never more than 0.9.
        """
        if down <= 0.0:
            return 0.0
        width = self.half_width + self.spreading * down
        along = self.deficit * math.exp(-(down - 1.0) / self.reach)
        return min(0.9, along * math.exp(-0.5 * (beside / width) ** 2))


def drawn_shadows(count: int, seed: int = SEED) -> list[Shadow]:
    """Return draws of the shadow's numbers, half normal on either side, kept within their sense."""
    rows = list(SHADOW.values())
    scores = np.clip(normal_scores(count, len(rows), seed + 1), -2.0, 2.0) / SCORE_AT_ENDS
    value, low, high = (np.array([getattr(one, part) for one in rows]) for part in ("value", "low", "high"))
    drawn = value + scores * np.where(scores < 0.0, value - low, high - value)
    return [Shadow(*row) for row in np.maximum(drawn, 0.01).tolist()]


def wake_direction_deg(polar: LanePolar, angle_deg: float) -> float:
    """Return where a boat's wake goes: the angle from straight down the wind toward where it came from [deg].

    Notes
    -----
    Air that passes the sails drifts down the true wind while the boat sails on: behind a moving boat the wake
    lies along the apparent wind.
    """
    turn = float(degrees_to_radians(abs(angle_deg)))
    wind = float(knots_to_metres_per_second(polar.wind_kn))
    speed = polar.speed(angle_deg)
    return math.degrees(math.atan2(speed * math.sin(turn), wind + speed * math.cos(turn)))


@dataclass(frozen=True)
class InWake:
    """Where a boat is in the wake of another.

    Parameters
    ----------
    behind_m, beside_m : float
        Down the axis of the wake and square to it.
    mast_height_m : float
        Of the other boat, masthead above the water.

    Raises
    ------
    OutOfRangeError
        A distance is impossible.
    """

    behind_m: float
    mast_height_m: float
    beside_m: float = 0.0

    def __post_init__(self) -> None:
        for name, value, low, high in (
            ("distance down the wake", self.behind_m, 1.0, 2000.0),
            ("mast height", self.mast_height_m, 1.0, 60.0),
            ("distance beside the wake", self.beside_m, -2000.0, 2000.0),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(name, value, low, high, unit="m", next_step="give metres")


def clear_air(polar: LanePolar, shadow: Shadow, *, point: Point, place: InWake, seconds: float) -> LaneAnswer:
    """Return what another boat's shadow costs and how far one may go for clear air.

    Parameters
    ----------
    polar : LanePolar
        Your boat in one wind.
    shadow : Shadow
        Of the other boat.
    point : {"up", "down"}
        On the wind or on the run.
    place : InWake
        Where you are.
    seconds : float
        How long you stay there.

    Raises
    ------
    OutOfRangeError
        A distance or a time is impossible.

    Notes
    -----
    Less wind, same angle: the speed falls with the wind as the polar says. The break-even is the distance
    made good that may be given away at once for clear air over the same time.
    """
    if not 0.0 < seconds <= 7200.0:
        raise OutOfRangeError("time in the shadow", seconds, 1.0, 7200.0, unit="s")
    target = polar.target_deg(point)
    missing = shadow.missing(place.behind_m / place.mast_height_m, place.beside_m / place.mast_height_m)
    slowed = 1.0 - (1.0 - missing) ** max(polar.growth(target), 0.0)
    lost = slowed * polar.made_good(target) * seconds
    words = (
        f"{place.behind_m:.0f} m down the wake {100 * missing:.0f} % of the wind is missing and"
        f" {100 * slowed:.0f} % of your speed: {lost:.0f} m in {seconds:.0f} s, the worth of clear air"
    )
    return LaneAnswer(
        question="clear_air",
        words=words,
        gain_m=-lost,
        break_even=lost,
        break_even_unit="m",
        break_even_words="given away at once for clear air come back in that time",
        numbers=(
            ("missing_wind_percent", 100.0 * missing),
            ("lost_speed_percent", 100.0 * slowed),
            ("lost_m_per_min", 60.0 * lost / seconds),
            ("wake_deg", wake_direction_deg(polar, target)),
            ("twa_deg", target),
        ),
        tracks=_shadow_tracks(polar, shadow, target, place),
    )


def _shadow_tracks(polar: LanePolar, shadow: Shadow, target: float, place: InWake) -> tuple[Track, ...]:
    """Return the other boat's course, the edges of its wake, and you in it."""
    turn = float(degrees_to_radians(wake_direction_deg(polar, target)))
    axis, side = (math.sin(turn), -math.cos(turn)), (math.cos(turn), math.sin(turn))
    mast = place.mast_height_m
    length = max(1.3 * place.behind_m, 3.0 * mast)

    def at(down: float, beside: float) -> tuple[float, float]:
        return down * axis[0] + beside * side[0], down * axis[1] + beside * side[1]

    edges = [
        (sign * shadow.half_width * mast, sign * (shadow.half_width * mast + shadow.spreading * length))
        for sign in (-1.0, 1.0)
    ]
    lines = [(at(0.0, near), at(length, far)) for near, far in edges]
    you = at(place.behind_m, place.beside_m)
    return (
        track_of("other boat", [(target, 2.0 * mast)]),
        *(
            Track(name, (near[0], far[0]), (near[1], far[1]))
            for name, (near, far) in zip(("edge of its wake", "edge of its wake "), lines, strict=True)
        ),
        Track("you", (you[0],), (you[1],)),
    )


def shadow_interval(
    best: LaneAnswer, drawn: Sequence[LaneAnswer]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the 90 % intervals of metres and break-even from answers to draws of boat and shadow together.

    Raises
    ------
    InputError
        There are no draws.
    """
    if not drawn:
        raise InputError("no draws of the shadow", next_step="draw at least two")
    middle = np.array([best.gain_m, best.break_even])
    known: Interval = interval(middle, middle, np.array([(one.gain_m, one.break_even) for one in drawn]))
    low, high = known.low.tolist(), known.high.tolist()
    return (low[0], high[0]), (low[1], high[1])
