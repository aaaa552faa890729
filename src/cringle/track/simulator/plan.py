"""Where a simulated boat tacks or gybes on a leg: boards of random length, then the layline."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FINAL_SIDE: Final = 1
"""Marks are left to port and approached with the wind from starboard."""

ROOM_S: Final = 60.0
"""Room kept for a last board on either side [s]."""

SHORTEST_BOARD_S: Final = 45


@dataclass(frozen=True)
class Reach:
    """Metres right of the axis and metres along the leg, added up, for each side of the wind.

    Parameters
    ----------
    across, along : dict of int to array, shape (n,)
        Side (+1 wind from starboard) to the position at each second had she sailed on it from the first.
    slope : float
        Metres across for each metre along, on either side.
    made_good : float
        Metres along the leg in a second.
    """

    across: dict[int, Array]
    along: dict[int, Array]
    slope: float
    made_good: float


@dataclass(frozen=True)
class Place:
    """Row, metres right of the mark, metres still to go along the leg, side of the wind."""

    row: int
    right: float
    to_go: float
    side: int


@dataclass(frozen=True)
class LegPlan:
    """Rows of the manoeuvres, the row at which the leg ends, and whether the mark was reached in time."""

    turns: tuple[int, ...]
    end: int
    reached: bool


def plan_leg(reach: Reach, start: Place, *, boards_s: Array, loss_m: float, overstand_m: float) -> LegPlan:
    """Return the manoeuvres that bring a boat to the mark.

    Parameters
    ----------
    reach : Reach
        How she moves on either side.
    start : Place
        Where the leg begins.
    boards_s : array
        Lengths of the boards to come, used one after another.
    loss_m : float
        What a manoeuvre costs along the leg, roughly; the plan allows for it.
    overstand_m : float
        How far past the layline the last turn is made.
    """
    here, turns = start, list[int]()
    for board in boards_s:
        end = _arrival(reach, here)
        row, last = _next_turn(reach, here, float(board), loss_m, overstand_m)
        if row is None or row >= end - 5:
            return LegPlan(tuple(turns), end, end < reach.along[here.side].size - 1)
        turns.append(row)
        here = _moved(reach, here, row, loss_m)
        if last:
            end = _arrival(reach, here)
            return LegPlan(tuple(turns), end, end < reach.along[here.side].size - 1)
    return LegPlan(tuple(turns), _arrival(reach, here), reached=False)


def _moved(reach: Reach, here: Place, row: int, loss_m: float) -> Place:
    across, along = reach.across[here.side], reach.along[here.side]
    right = here.right + float(across[row] - across[here.row])
    to_go = here.to_go - float(along[row] - along[here.row]) + loss_m
    return Place(row, right, to_go, -here.side)


def _arrival(reach: Reach, here: Place) -> int:
    """Return the row at which the leg is done on this side; the last row when it never is."""
    along = reach.along[here.side]
    done = along[here.row :] - along[here.row] >= here.to_go
    return here.row + int(done.argmax()) if done.any() else along.size - 1


def _next_turn(
    reach: Reach, here: Place, board_s: float, loss_m: float, overstand_m: float
) -> tuple[int | None, bool]:
    """Return the row of the next turn, and whether it is the last; None when she sails on to the mark."""
    first = here.row + SHORTEST_BOARD_S
    rows = np.arange(first, min(_arrival(reach, here), here.row + int(board_s + ROOM_S)))
    if rows.size == 0:
        return None, True
    across, along = reach.across[here.side], reach.along[here.side]
    right = here.right + across[rows] - across[here.row]
    to_go = here.to_go - (along[rows] - along[here.row]) + loss_m
    chosen = here.row + int(board_s)
    if here.side == FINAL_SIDE:
        room = ROOM_S * reach.made_good
        crowded = right < 2.0 * reach.slope * room - reach.slope * to_go
        if crowded.any():
            chosen = min(chosen, int(rows[crowded.argmax()]))
        return chosen, False
    fetches = _passes_right(reach, rows, right, to_go) >= overstand_m
    if fetches.any():
        return int(rows[fetches.argmax()]), True
    return chosen, False


def _passes_right(reach: Reach, rows: NDArray[np.intp], right: Array, to_go: Array) -> Array:
    """Return how far right of the mark she would pass, turning to the final side at each row."""
    across, along = reach.across[FINAL_SIDE], reach.along[FINAL_SIDE]
    rising = np.maximum.accumulate(along)
    arrival = np.minimum(np.searchsorted(rising, rising[rows] + to_go), along.size - 1)
    return np.asarray(right + across[arrival] - across[rows])
