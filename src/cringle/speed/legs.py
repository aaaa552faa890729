"""What a technique makes good toward the end of a leg that is not square to the wind: one board or two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import OutOfRangeError
from cringle.speed.polar import Chosen
from cringle.units import metres_per_second_to_knots

Array = NDArray[np.float64]

LARGEST_OFF_DEG = 80.0
"""A leg farther than this from straight down the wind is a reach."""

LEAST_SHARE = 0.02
"""A board shorter than this share of the leg's time is no board."""


@dataclass(frozen=True)
class LegBest:
    """The fastest way down a leg in one technique.

    Parameters
    ----------
    made_good_kn : float
        Toward the end of the leg; 0 where it cannot be sailed.
    angle_deg : float
        True wind angle of the longer board; NaN where it cannot be sailed.
    speed_kn, heel_deg : float
        On that board.
    share : float
        Of the time on that board; 1 where the end is reached without a gybe.
    other_angle_deg : float
        Of the shorter board; NaN without one.
    """

    made_good_kn: float
    angle_deg: float
    speed_kn: float
    heel_deg: float
    share: float
    other_angle_deg: float

    @property
    def one_board(self) -> bool:
        """Whether the end is reached without a gybe."""
        return self.share > 1.0 - LEAST_SHARE


ONE_BOARD_SHARE = 0.99
"""One board straight along the leg is sailed when it makes good at least so much of what two boards do: the
gybe it saves costs more. Judgement."""

NOTHING = LegBest(0.0, float("nan"), float("nan"), float("nan"), 1.0, float("nan"))


def leg_best(grid: Chosen, row: int, *, off_deg: float = 0.0, others: Sequence[Chosen] = ()) -> LegBest:
    """Return the fastest way down a leg in one wind with one technique for the longer part of the time.

    Parameters
    ----------
    grid : Chosen
        Of the technique.
    row : int
        Which wind of it.
    off_deg : float
        Between the leg and straight down the wind, either side.
    others : sequence of Chosen
        Techniques that may serve on the shorter board, over the same winds.

    Raises
    ------
    OutOfRangeError
        The leg is farther off than 80 degrees.

    Notes
    -----
    Every course is a velocity; sailing two of them for parts of the time reaches every velocity on the line
    between them. The largest one along the leg is looked for among all pairs, both gybes.
    """
    if not abs(off_deg) <= LARGEST_OFF_DEG:
        raise OutOfRangeError(
            "leg off the wind", off_deg, -LARGEST_OFF_DEG, LARGEST_OFF_DEG, unit="deg",
            next_step="give the angle between the leg and straight down the wind",
        )  # fmt: skip
    own = _courses(grid, row, off_deg)
    if own.size == 0:
        return NOTHING
    every = np.concatenate([own, *(_courses(one, row, off_deg) for one in others)], axis=1)
    one, other, share, made = _best_pair(own, every)
    straight = _straight(grid, row, off_deg)
    if straight.made_good_kn >= ONE_BOARD_SHARE * max(made, 0.0):
        return straight
    alone = share > 1.0 - LEAST_SHARE
    return LegBest(
        made,
        float(own[2, one]),
        float(own[3, one]),
        float(own[4, one]),
        share,
        float("nan") if alone else float(every[2, other]),
    )


def _straight(grid: Chosen, row: int, off_deg: float) -> LegBest:
    """Return the course straight along the leg, between the two nearest angles."""
    angle, axis = 180.0 - abs(off_deg), grid.angle_deg
    right = int(np.searchsorted(axis, angle))
    pair = [right, right] if right < axis.size and axis[right] == angle else [right - 1, right]
    if pair[0] < 0 or pair[1] >= axis.size or np.any(grid.speed[row, pair] <= 0.0):
        return NOTHING
    speed = float(np.interp(angle, axis[pair], metres_per_second_to_knots(grid.speed[row, pair])))
    heel = float(np.interp(angle, axis[pair], grid.heel_deg[row, pair]))
    return LegBest(speed, angle, speed, heel, 1.0, float("nan"))


def _courses(grid: Chosen, row: int, off_deg: float) -> Array:
    """Return speed along and across the leg, angle, speed and heel of every course, both gybes."""
    good = np.flatnonzero(grid.speed[row] > 0.0)
    angle, speed = grid.angle_deg[good], metres_per_second_to_knots(grid.speed[row, good])
    heel = grid.heel_deg[row, good]
    away = np.radians(180.0 - angle)
    turns = np.concatenate((away, -away)) - np.radians(abs(off_deg))
    angle, speed, heel = (np.concatenate((one, one)) for one in (angle, speed, heel))
    return np.stack((speed * np.cos(turns), speed * np.sin(turns), angle, speed, heel))


def _best_pair(own: Array, every: Array) -> tuple[int, int, float, float]:
    """Return the two courses, the share of time on the first (half or more), and the speed along the leg."""
    a, b = own[1][:, None], every[1][None, :]
    apart = np.abs(a - b)
    share = np.abs(b) / np.where(apart > 0.0, apart, 1.0)
    opposed = (a * b <= 0.0) & (apart > 0.0) & (share >= 0.5)
    made = np.where(opposed, share * own[0][:, None] + (1.0 - share) * every[0][None, :], -np.inf)
    i, j = np.unravel_index(int(np.argmax(made)), made.shape)
    return int(i), int(j), float(share[i, j]), float(made[i, j])


def legs_made_good(grid: Chosen, *, off_deg: float = 0.0, others: Sequence[Chosen] = ()) -> Array:
    """Return the speed made good along a leg for every wind of a polar, shape (w,) [kn]."""
    rows = range(grid.wind_kn.size)
    return np.array([leg_best(grid, row, off_deg=off_deg, others=others).made_good_kn for row in rows])
