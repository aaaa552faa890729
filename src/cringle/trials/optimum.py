"""Where the optimum lies, how sure that is, whether it matters, and whether the table should move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.trials.belief import Places
from cringle.trials.response import Response, Seen

Floats = NDArray[np.float64]

REACH_STEPS: Final = 3.0
GRID_STEP: Final = 0.25
"""The optimum is sought so far either side of table and anchor, on quarter steps."""

SAME: Final = 1e-9
DRAWS: Final = 400
MATTERS_M_PER_MIN: Final = 0.5
"""A control whose best number gains less than this does not matter [m/min] (our own choice)."""

SURE: Final = 0.9
SURE_SETTLED: Final = 0.95
SURE_UNDER_EACH: Final = 0.9
BELIEF_OPEN: Final = 0.005
"""Chance that calls a cell flat, and settled; settled also asks for the third chance under every belief that
is not ruled out, which is one with at least the fourth: a guess at the curvature settles nothing. The more
curved a control is thought to be, or the more alike in all winds, the narrower its optimum looks on the same
trials. Under none of the open beliefs may one cell in ten be wrong; what they say together is then safe
whatever their prior."""

SURE_TO_MOVE: Final = 0.95
FLAT_AT_MOST: Final = 0.01
FEWEST_OBSERVATIONS: Final = 2
FEWEST_TO_SETTLE: Final = 4
LEAST_GAIN_M_PER_MIN: Final = 0.3
BEYOND_TRIED_STEPS: Final = 0.5
"""The table moves when at least two trials stand behind it, the gain is this sure and this large, the chance
that the control does nothing at all is this small, by half a step or one at a time and not more than half a
step beyond what has been sailed (our own choices, from simulated seasons)."""

NEAR_KN: Final = 3.0
"""An observation counts as one of a row when its wind is this near [kn]."""


@dataclass(frozen=True)
class Cell:
    """One role at one wind of the table.

    Parameters
    ----------
    wind_kn : float
        Wind of the row.
    table : float
        Where the table stands, steps from the anchor.
    low, high : float
        Ends of the control's range, steps from the anchor.
    """

    wind_kn: float
    table: float = 0.0
    low: float = -8.0
    high: float = 8.0


@dataclass(frozen=True)
class Finding:
    """What the evidence says of one cell, all places in steps from the anchor, gains in m a minute.

    Parameters
    ----------
    cell : Cell
        Which.
    best, best_low, best_high : float
        Estimated optimum with a 90 % credible region.
    chance_within_half : float
        Chance that the optimum is within half a step of the table.
    chance_flat : float
        Chance that no number is better than the table's by as much as matters.
    gain, gain_low, gain_high : float
        Of the estimated optimum over the table's number.
    state : str
        ``settled``, ``flat``, ``move`` or ``not known``.
    move_to : float or None
        Where the table should go, when it should move.
    move_gain, move_sd, move_chance : float
        Gain of that move, its s.d., and the chance that it is one; 0 when there is none.
    observations : int
        How many stand behind this row.
    """

    cell: Cell
    best: float
    best_low: float
    best_high: float
    chance_within_half: float
    chance_flat: float
    gain: float
    gain_low: float
    gain_high: float
    state: str
    move_to: float | None
    move_gain: float
    move_sd: float
    move_chance: float
    observations: int


@dataclass(frozen=True)
class Influence:
    """What one observation does: its trust, and where the optimum would lie without it [steps]."""

    name: str
    trust: float
    best_without: float
    shift: float


def step_grid(cell: Cell) -> Floats:
    """Return the numbers that are looked at, in steps from the anchor."""
    low = max(cell.low, min(cell.table, 0.0) - REACH_STEPS)
    high = min(cell.high, max(cell.table, 0.0) + REACH_STEPS)
    first = np.ceil((low - cell.table) / GRID_STEP - SAME)
    last = np.floor((high - cell.table) / GRID_STEP + SAME)
    return cell.table + np.arange(first, last + 1.0) * GRID_STEP


def at_wind(cell: Cell, steps: Floats) -> Places:
    """Return the places that compare some numbers with the table's at the wind of a cell."""
    return Places(np.full(steps.size, cell.wind_kn), steps, np.full(steps.size, cell.table))


def find_optimum(response: Response, cell: Cell, *, matters_m_per_min: float = MATTERS_M_PER_MIN) -> Finding:
    """Return what the evidence says of a cell.

    Parameters
    ----------
    response : Response
        What is known of the role.
    cell : Cell
        Wind, table and range.
    matters_m_per_min : float
        What gain matters.
    """
    steps = step_grid(cell)
    places = at_wind(cell, steps)
    mean = response.summary(places)[0]
    tops = _tops(response, places, steps, matters_m_per_min)
    best = int(np.argmax(mean))
    share = np.cumsum(response.chances @ tops.shares)
    low, high = (float(steps[int(np.searchsorted(share, one - SAME))]) for one in (0.05, 0.95))
    near = tops.shares @ share_within_half(steps - cell.table)
    flat = float(response.chances @ tops.flat)
    chance = float(response.chances @ near)
    open_ = response.chances >= BELIEF_OPEN
    settled = chance >= SURE_SETTLED and float(near[open_].min()) >= SURE_UNDER_EACH
    count = len(of_row(response.seen, cell))
    move = next_move(response, cell)
    gain_low, gain_high = tops.gain_range(response.chances, best)
    return Finding(
        cell,
        float(steps[best]),
        low,
        high,
        chance,
        flat,
        float(mean[best]),
        gain_low,
        gain_high,
        _state(count, settled=settled, flat=flat >= SURE, moves=move is not None),
        move_to=None if move is None else move.to,
        move_gain=0.0 if move is None else move.gain,
        move_sd=0.0 if move is None else move.sd,
        move_chance=0.0 if move is None else move.chance,
        observations=count,
    )


def share_within_half(away: Floats) -> Floats:
    """Return how much of the cell of the grid around each number lies within half a step of the table.

    Parameters
    ----------
    away : array, shape (n,)
        Numbers on the grid, in steps from the table.

    Notes
    -----
    A number stands for all optima nearer to it than to its neighbours: half of those around 0.5 lie beyond.
    """
    found: Floats = np.clip((0.5 - np.abs(away)) / GRID_STEP + 0.5, 0.0, 1.0)
    return found


@dataclass(frozen=True)
class _Tops:
    """Where the optimum could lie, a row a belief: share of each number, and of flat responses."""

    shares: Floats
    flat: Floats
    draws: Sequence[Floats]

    def gain_range(self, chances: Floats, place: int) -> tuple[float, float]:
        """Return the ends of the 90 % interval of the gain of one number."""
        values = np.concatenate([one[:, place] for one in self.draws])
        order = np.argsort(values, kind="stable")
        share = np.cumsum(np.repeat(chances / DRAWS, DRAWS)[order])
        low, high = (min(int(np.searchsorted(share, one)), values.size - 1) for one in (0.05, 0.95))
        return float(values[order[low]]), float(values[order[high]])


def _tops(response: Response, places: Places, steps: Floats, matters: float) -> _Tops:
    draws = response.draws(places, DRAWS)
    tops = [np.bincount(np.argmax(one, axis=1), minlength=steps.size) / DRAWS for one in draws]
    flat = [np.mean(one.max(axis=1) < matters) for one in draws]
    return _Tops(np.array(tops), np.array(flat), draws)


def of_row(seen: Sequence[Seen], cell: Cell) -> list[Seen]:
    """Return the observations made in about the wind of a cell."""
    return [one for one in seen if abs(one.wind_kn - cell.wind_kn) <= NEAR_KN]


def _state(count: int, *, settled: bool, flat: bool, moves: bool) -> str:
    if moves:
        return "move"
    if count >= FEWEST_TO_SETTLE and settled:
        return "settled"
    return "flat" if count >= FEWEST_OBSERVATIONS and flat else "not known"


@dataclass(frozen=True)
class Move:
    """Where the table should go [steps], with gain and s.d. [m/min] and the chance that it is a gain."""

    to: float
    gain: float
    sd: float
    chance: float


def next_move(response: Response, cell: Cell) -> Move | None:
    """Return where the table should go next, None when the evidence is not there."""
    row = of_row(response.seen, cell)
    if len(row) < FEWEST_OBSERVATIONS or response.chances[0] > FLAT_AT_MOST:
        return None
    tried = [place for one in row for place in (one.tried, one.reference)]
    steps = step_grid(cell)
    away = np.abs(steps - cell.table)
    open_ = (np.abs(away - 1.0) < SAME) | (np.abs(away - 0.5) < SAME)
    open_ &= (steps >= min(tried) - BEYOND_TRIED_STEPS) & (steps <= max(tried) + BEYOND_TRIED_STEPS)
    steps = steps[open_]
    if not steps.size:
        return None
    mean, sd, chance = response.summary(at_wind(cell, steps))
    proven = (chance >= SURE_TO_MOVE) & (mean >= LEAST_GAIN_M_PER_MIN)
    best = int(np.argmax(np.where(proven, mean, -np.inf)))
    if not proven.any() or not _survives(response, cell, float(steps[best])):
        return None
    return Move(float(steps[best]), float(mean[best]), float(sd[best]), float(chance[best]))


def _survives(response: Response, cell: Cell, to: float) -> bool:
    """Return whether the move is still a gain whichever one observation is left out."""
    return bool(response.expected_without(at_wind(cell, np.array([to]))).min() > 0.0)


def influences(response: Response, cell: Cell) -> list[Influence]:
    """Return what each observation of a row does to the estimated optimum, strongest first."""
    steps = step_grid(cell)
    places = at_wind(cell, steps)
    row = [n for n, one in enumerate(response.seen) if abs(one.wind_kn - cell.wind_kn) <= NEAR_KN]
    if not row:
        return []
    whole = float(steps[int(np.argmax(response.summary(places)[0]))])
    without = steps[np.argmax(response.expected_without(places), axis=1)].tolist()
    named = [(n, response.seen[n].name, float(response.trust[n])) for n in row]
    found = [Influence(name, trust, without[n], whole - without[n]) for n, name, trust in named]
    return sorted(found, key=lambda one: -abs(one.shift))
