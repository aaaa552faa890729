"""What to try next: the one step whose trial is expected to be worth most over the coming season."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.trials.optimum import SAME, SURE_TO_MOVE, Cell, at_wind, find_optimum, step_grid
from cringle.trials.response import Places, Response

Floats = NDArray[np.float64]

DRAWS: Final = 240
FARTHEST_STEPS: Final = 2.0
"""A table can get so far from where it is in a season [steps]."""

TRIED_STEPS: Final = (-1.0, 1.0)
"""What may be tried: one step, the smallest change worth making."""

TRIAL_ERROR_M_PER_MIN: Final = 1.0
MOST_LISTED: Final = 3

UNPROVEN_SHARE: Final = 0.5
"""Weight of what is merely expected, against what is proven, in the worth of a trial (our own choice)."""

NEARLY: Final = 0.7
"""Of steps of one role worth nearly as much to know, the one that promises more is tried (our own choice)."""


@dataclass(frozen=True)
class Candidate:
    """A role that may be tried tonight: what is known of it, its cell tonight, its cells over the season.

    Parameters
    ----------
    role : str
        Which.
    response : Response
        What is known.
    tonight : Cell
        At tonight's wind.
    season : tuple of (Cell, chance)
        Rows of the table with how often this water has that wind.
    """

    role: str
    response: Response
    tonight: Cell
    season: tuple[tuple[Cell, float], ...]


@dataclass(frozen=True)
class Suggestion:
    """One step to try.

    Parameters
    ----------
    role : str
        Which.
    start, to : float
        The table's number and the one to try, steps from the anchor.
    worth : float
        Expected gain over the season's winds from knowing the result. [m/min]
    gain, sd : float
        What the trial is expected to show, and how unsure that is. [m/min]
    reason : str
        Plain words.
    """

    role: str
    start: float
    to: float
    worth: float
    gain: float
    sd: float
    reason: str


def suggest(
    candidates: Sequence[Candidate],
    *,
    trial_error: float | Mapping[str, float] = TRIAL_ERROR_M_PER_MIN,
    most: int = MOST_LISTED,
) -> list[Suggestion]:
    """Return what to try, most worth first, each role once.

    Parameters
    ----------
    candidates : sequence of Candidate
        Roles that the class lets the crew change and the rig bears.
    trial_error : float or mapping
        Standard error the trial will have, for all or by role. [m/min]
    most : int
        How many.
    """
    found = []
    for candidate in candidates:
        error = trial_error if isinstance(trial_error, float) else trial_error[candidate.role]
        options = _options(candidate, error)
        if options:
            most_worth = max(one.worth for one in options)
            near = [one for one in options if one.worth >= NEARLY * most_worth]
            found.append(max(near, key=lambda one: (one.gain, one.worth)))
    return sorted(found, key=lambda one: (-one.worth, -one.sd))[:most]


def _options(candidate: Candidate, error: float) -> list[Suggestion]:
    now = candidate.tonight
    moves = [one for one in TRIED_STEPS if now.low - SAME <= now.table + one <= now.high + SAME]
    if not moves:
        return []
    tried = np.array([now.table + one for one in moves])
    grids = [_reachable(cell) for cell, _ in candidate.season]
    places = [at_wind(now, tried)]
    places += [at_wind(cell, grid) for (cell, _), grid in zip(candidate.season, grids, strict=True)]
    draws = candidate.response.draws(_joined(places), DRAWS)
    shown, later = draws[:, : tried.size], draws[:, tried.size :]
    edges = np.cumsum([0, *(grid.size for grid in grids)])
    weights = np.array([chance for _, chance in candidate.season])
    reason = _reason(candidate)
    return [
        Suggestion(
            candidate.role,
            now.table,
            float(tried[number]),
            _worth(shown[:, number], later, edges, weights, error),
            float(shown[:, number].mean()),
            float(shown[:, number].std()),
            reason,
        )
        for number in range(tried.size)
    ]


def _reachable(cell: Cell) -> Floats:
    grid = step_grid(cell)
    found: Floats = grid[
        (np.abs(grid - cell.table) <= FARTHEST_STEPS)
        & (np.mod(np.abs(grid - cell.table) + SAME, 0.5) < 2.0 * SAME)
    ]
    return found


def _joined(places: Sequence[Places]) -> Places:
    return Places(
        np.concatenate([one.wind_kn for one in places]),
        np.concatenate([one.tried for one in places]),
        np.concatenate([one.reference for one in places]),
    )


def _worth(shown: Floats, later: Floats, edges: Floats, weights: Floats, error: float) -> float:
    """Return the expected rise of the best expected gain once the result is known.

    Notes
    -----
    The knowledge gradient (Frazier, Powell, Dayanik, "A Knowledge-Gradient Policy for Sequential Information
    Collection", SIAM J. Control Optim. 47, 2008, p. 2410), by draws: each draw's result is believed in
    turn, and all draws are weighed by how well they agree with it. Half of it
    counts gains as soon as they are expected, half only where the table could then be moved.
    """
    rng = np.random.default_rng(2)
    results = shown + error * rng.standard_normal(shown.size)
    log = -0.5 * ((results[:, None] - shown[None, :]) / error) ** 2
    belief = np.exp(log - log.max(axis=1, keepdims=True))
    belief /= belief.sum(axis=1, keepdims=True)
    mean, chance = belief @ later, belief @ (later > 0.0)
    usable = np.where(chance >= SURE_TO_MOVE, np.maximum(mean, 0.0), 0.0)
    before = np.where(chance.mean(axis=0) >= SURE_TO_MOVE, np.maximum(mean.mean(axis=0), 0.0), 0.0)
    rise = 0.0
    for number, weight in enumerate(weights):
        part = slice(int(edges[number]), int(edges[number + 1]))
        known = float(mean[:, part].max(axis=1).mean() - mean[:, part].mean(axis=0).max())
        proven = float(usable[:, part].max(axis=1).mean() - before[part].max())
        rise += float(weight) * (UNPROVEN_SHARE * known + (1.0 - UNPROVEN_SHARE) * proven)
    return max(rise, 0.0)


def _reason(candidate: Candidate) -> str:
    found = find_optimum(candidate.response, candidate.tonight)
    if not found.observations:
        return "nothing tried yet near this wind"
    count = f"{found.observations} trial{'s' if found.observations > 1 else ''} near this wind"
    if found.gain > 0.3 and found.best != candidate.tonight.table:
        return f"{count}: the best number may lie {abs(found.best - candidate.tonight.table):g} steps away"
    return f"{count}: still unsure, optimum {found.best_low:+g} to {found.best_high:+g} steps"
