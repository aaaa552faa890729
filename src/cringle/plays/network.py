"""A simple temporal network: points in time and bounds on the differences between two of them.

The bounds that follow from all others, the minimal network, come from all shortest paths; the network can
hold if and only if no closed path is negative.

References
----------
.. [1] Dechter, Meiri and Pearl, "Temporal constraint networks", Artificial Intelligence 49 (1991) 61-95.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

TOLERANCE_S = 1e-7
"""Times closer than this are the same."""


@dataclass(frozen=True)
class Bound:
    """``time[later] - time[earlier] <= at_most``, with the reason in words.

    Parameters
    ----------
    earlier, later : int
        Points.
    at_most : float
        [s]; negative for a least distance the other way round.
    why : str
        The sentence a person would say.
    items : tuple of str
        Ids of the actions and cues it is about, in the order said.
    """

    earlier: int
    later: int
    at_most: float
    why: str = ""
    items: tuple[str, ...] = ()


def at_least(earlier: int, later: int, gap: float, why: str = "", items: tuple[str, ...] = ()) -> Bound:
    """Return the bound ``time[later] - time[earlier] >= gap``."""
    return Bound(later, earlier, -gap, why, items)


def distances(points: int, bounds: Sequence[Bound]) -> Array:
    """Return the minimal network: entry (i, j) is the most that j can come after i [s].

    Parameters
    ----------
    points : int
        How many points; point 0 is the origin.
    bounds : sequence of Bound
        Any number for the same two points; the tightest counts.

    Returns
    -------
    array, shape (points, points)
        Infinite where nothing binds. A negative entry on the diagonal: the bounds cannot all hold.
    """
    matrix = np.full((points, points), np.inf)
    np.fill_diagonal(matrix, 0.0)
    for one in bounds:
        matrix[one.earlier, one.later] = min(matrix[one.earlier, one.later], one.at_most)
    for middle in range(points):
        np.minimum(matrix, matrix[:, middle, None] + matrix[None, middle, :], out=matrix)
    return matrix


def holds(matrix: Array) -> bool:
    """Return whether the bounds of a minimal network can all hold."""
    return bool(np.all(np.diagonal(matrix) >= -TOLERANCE_S))


def can_add(matrix: Array, bound: Bound) -> bool:
    """Return whether one more bound can hold together with a network that holds."""
    return bool(matrix[bound.later, bound.earlier] + bound.at_most >= -TOLERANCE_S)


def added(matrix: Array, bound: Bound) -> Array:
    """Return the minimal network with one more bound; the network must hold with it."""
    through = matrix[:, bound.earlier, None] + bound.at_most + matrix[None, bound.later, :]
    tightened: Array = np.minimum(matrix, through)
    return tightened


def earliest(matrix: Array) -> Array:
    """Return the earliest time of each point after the origin, shape (points,) [s]."""
    times: Array = 0.0 - matrix[:, 0]
    return times


def latest(matrix: Array) -> Array:
    """Return the latest time of each point, shape (points,) [s]; infinite where nothing binds."""
    times: Array = matrix[0].copy()
    return times


def impossible_loop(points: int, bounds: Sequence[Bound]) -> list[Bound]:
    """Return a closed chain of bounds that cannot all hold, in order; empty when they can.

    Bellman and Ford's relaxation, started from everywhere; the chain found is simple.
    """
    reach = np.zeros(points)
    came_by: list[Bound | None] = [None] * points
    changed: Bound | None = None
    for _ in range(points + 1):
        changed = None
        for one in bounds:
            if reach[one.earlier] + one.at_most < reach[one.later] - TOLERANCE_S:
                reach[one.later] = reach[one.earlier] + one.at_most
                came_by[one.later] = one
                changed = one
        if changed is None:
            return []
    return _closed_chain(came_by, changed, points)


def _closed_chain(came_by: list[Bound | None], start: Bound | None, points: int) -> list[Bound]:
    """Walk back until inside the loop, then once around."""
    point = 0 if start is None else start.later
    for _ in range(points):
        step = came_by[point]
        point = point if step is None else step.earlier
    chain: list[Bound] = []
    at = point
    while True:
        step = came_by[at]
        if step is None:
            return []
        chain.append(step)
        at = step.earlier
        if at == point:
            return chain[::-1]
