"""Where the optimum lies, how sure that is, whether it matters, and whether the table should move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.trials.response import Places, Response, Seen, respond

Floats = NDArray[np.float64]

REACH_STEPS: Final = 3.0
GRID_STEP: Final = 0.25
"""The optimum is sought so far either side of table and anchor, on quarter steps."""

SAME: Final = 1e-9
DRAWS: Final = 800
MATTERS_M_PER_MIN: Final = 0.5
"""A control whose best number gains less than this does not matter [m/min] (our own choice)."""

SURE: Final = 0.9
SURE_SETTLED: Final = 0.95
"""Chance that calls a cell flat, and settled."""

SURE_TO_MOVE: Final = 0.985
FEWEST_OBSERVATIONS: Final = 2
FEWEST_TO_SETTLE: Final = 4
LEAST_GAIN_M_PER_MIN: Final = 0.3
BEYOND_TRIED_STEPS: Final = 0.5
"""The table moves when at least two trials stand behind it, the gain is this sure and this large, by half
a step or one at a time and not more than half a step beyond what has been sailed (our own choices)."""

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
    draws = response.draws(at_wind(cell, steps), DRAWS)
    mean = draws.mean(axis=0)
    tops = steps[np.argmax(draws, axis=1)]
    best = int(np.argmax(mean))
    near = float(np.mean(np.abs(tops - cell.table) <= 0.5))
    flat = float(np.mean(draws.max(axis=1) < matters_m_per_min))
    low, high = np.quantile(tops, [0.05, 0.95])
    gain_low, gain_high = np.quantile(draws[:, best], [0.05, 0.95])
    count = len(of_row(response.seen, cell))
    move = _move(response, cell, steps, draws) or (None, 0.0, 0.0, 0.0)
    return Finding(
        cell,
        float(steps[best]),
        float(low),
        float(high),
        near,
        flat,
        float(mean[best]),
        float(gain_low),
        float(gain_high),
        _state(near, flat, count, moves=move[0] is not None),
        move_to=move[0],
        move_gain=move[1],
        move_sd=move[2],
        move_chance=move[3],
        observations=count,
    )


def of_row(seen: Sequence[Seen], cell: Cell) -> list[Seen]:
    """Return the observations made in about the wind of a cell."""
    return [one for one in seen if abs(one.wind_kn - cell.wind_kn) <= NEAR_KN]


def _state(near: float, flat: float, count: int, *, moves: bool) -> str:
    if moves:
        return "move"
    if count >= FEWEST_TO_SETTLE and near >= SURE_SETTLED:
        return "settled"
    return "flat" if count >= FEWEST_OBSERVATIONS and flat >= SURE else "not known"


def _move(
    response: Response, cell: Cell, steps: Floats, draws: Floats
) -> tuple[float, float, float, float] | None:
    """Return where to move, with gain, s.d. and chance; None when the evidence is not there."""
    row = of_row(response.seen, cell)
    if len(row) < FEWEST_OBSERVATIONS:
        return None
    tried = [place for one in row for place in (one.tried, one.reference)]
    away = np.abs(steps - cell.table)
    open_ = (np.abs(away - 1.0) < SAME) | (np.abs(away - 0.5) < SAME)
    open_ &= (steps >= min(tried) - BEYOND_TRIED_STEPS) & (steps <= max(tried) + BEYOND_TRIED_STEPS)
    chances = np.mean(draws > 0.0, axis=0)
    proven = open_ & (chances >= SURE_TO_MOVE) & (draws.mean(axis=0) >= LEAST_GAIN_M_PER_MIN)
    mean = np.where(proven, draws.mean(axis=0), -np.inf)
    best = int(np.argmax(mean))
    if not proven.any() or not _survives(response, cell, float(steps[best])):
        return None
    return float(steps[best]), float(mean[best]), float(draws[:, best].std()), float(chances[best])


def _survives(response: Response, cell: Cell, to: float) -> bool:
    """Return whether the move is still a gain when the observation that speaks most for it is left out."""
    place = at_wind(cell, np.array([to]))
    direction = np.sign(to - cell.table)
    speaks = [
        one.gain * np.sign(one.tried - one.reference) * direction / one.standard_error
        if abs(one.wind_kn - cell.wind_kn) <= NEAR_KN
        else -np.inf
        for one in response.seen
    ]
    loudest = int(np.argmax(speaks))
    rest = respond([one for number, one in enumerate(response.seen) if number != loudest])
    return expected_gain(rest, place) > 0.0


def expected_gain(response: Response, place: Places) -> float:
    """Return the expected gain at one place, over all curvatures [m/min]."""
    return float(sum(c * m[0][0] for c, m in zip(response.chances, response.moments(place), strict=True)))


def influences(response: Response, cell: Cell) -> list[Influence]:
    """Return what each observation of a row does to the estimated optimum, strongest first."""
    steps = step_grid(cell)
    places = at_wind(cell, steps)
    whole = _best(response, places, steps)
    found = []
    for number, one in enumerate(response.seen):
        if abs(one.wind_kn - cell.wind_kn) > NEAR_KN:
            continue
        rest = respond([two for other, two in enumerate(response.seen) if other != number])
        without = _best(rest, places, steps)
        found.append(Influence(one.name, float(response.trust[number]), without, whole - without))
    return sorted(found, key=lambda one: -abs(one.shift))


def _best(response: Response, places: Places, steps: Floats) -> float:
    mean = sum(c * m[0] for c, m in zip(response.chances, response.moments(places), strict=True))
    return float(steps[int(np.argmax(mean))])
