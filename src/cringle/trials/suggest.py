"""What to try next: the trial that is expected to be worth most over the coming season."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from cringle.trials.belief import Places
from cringle.trials.optimum import (
    FEWEST_OBSERVATIONS,
    FLAT_AT_MOST,
    NEAR_KN,
    SAME,
    SURE_TO_MOVE,
    Cell,
    at_wind,
    find_optimum,
    of_row,
    step_grid,
)
from cringle.trials.response import Response

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

FARTHEST_STEPS: Final = 2.0
"""A table can get so far from where it is in a season [steps]."""

ONE_STEP: Final = 1.0
"""What may be tried: a step either side of the table, the smallest change worth making."""

TRIAL_ERROR_M_PER_MIN: Final = 1.0
MOST_LISTED: Final = 3

REPEATS: Final = (1, 2, 4, 8)
"""One trial seldom moves a table: so many of the same are looked at, and the best worth of each counts."""

UNPROVEN_SHARE: Final = 0.5
"""Weight of what is merely expected, against what is proven, in the worth of a trial (our own choice)."""

NODES: Final = 7
HERMITE: Final = np.polynomial.hermite_e.hermegauss(NODES)
UNLIKELY: Final = 1e-3
"""Results looked at under each belief, and the least chance of a belief that counts."""


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
    """One thing to try.

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
    against : float
        The number of the boat without the change: the table's, or one step the other way.
    """

    role: str
    start: float
    to: float
    worth: float
    gain: float
    sd: float
    reason: str
    against: float


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
            found.append(max(options, key=lambda one: (one.worth, one.gain)))
    best = sorted(found, key=lambda one: (-one.worth, -one.sd))[:most]
    of_role = {one.role: one for one in candidates}
    return [replace(one, reason=_reason(of_role[one.role])) for one in best]


def contrasts(cell: Cell) -> list[tuple[float, float]]:
    """Return the pairs of numbers that may be compared: neither is more than a step from the table.

    Notes
    -----
    A step either side against the table tells how curved the response is; the two sides against each other
    show twice the slope, so that a quarter of the minutes tells which way to go.
    """
    down, up = (cell.table + one for one in (-ONE_STEP, ONE_STEP))
    open_ = [one for one in (down, up) if cell.low - SAME <= one <= cell.high + SAME]
    found = [(one, cell.table) for one in open_]
    return [*found, (up, down)] if len(open_) > 1 else found


def _options(candidate: Candidate, error: float) -> list[Suggestion]:
    now = candidate.tonight
    pairs = contrasts(now)
    if not pairs:
        return []
    weights = [chance for _, chance in candidate.season]
    rows = _Rows.of(candidate)
    found = []
    for (to, against), view in zip(pairs, _views(candidate, pairs), strict=True):
        worth = max(
            view.worth(error**2 / count, weights, (rows.after(0), rows.after(count))) / count
            for count in REPEATS
        )
        gain, sd = view.shown()
        turned = gain < 0.0 and against != now.table
        ends, gain = ((against, to), -gain) if turned else ((to, against), gain)
        found.append(Suggestion(candidate.role, now.table, ends[0], worth, gain, sd, "", ends[1]))
    return found


@dataclass(frozen=True)
class _Rows:
    """The season's rows: how many trials each has, and which of them one of tonight is near."""

    trials: NDArray[np.int_]
    near: Mask

    @classmethod
    def of(cls, candidate: Candidate) -> _Rows:
        cells = [cell for cell, _ in candidate.season]
        winds = np.array([cell.wind_kn for cell in cells])
        return cls(
            np.array([len(of_row(candidate.response.seen, cell)) for cell in cells]),
            np.abs(winds - candidate.tonight.wind_kn) <= NEAR_KN,
        )

    def after(self, count: int) -> Mask:
        """Return which rows have trials enough to move, after so many more tonight."""
        found: Mask = self.trials + count * self.near >= FEWEST_OBSERVATIONS
        return found


@dataclass(frozen=True)
class _View:
    """A trial and the season's places together, a row a belief.

    `edges` parts the season's rows, and `flat_open` says whether the first belief is the flat one.
    What the trial shows has `mean` and `variance`, shape (k,); the gains of the places `later` and `spread`
    (a variance), shape (k, m), and `cross` is their covariance with what the trial shows.
    """

    chances: Floats
    mean: Floats
    variance: Floats
    later: Floats
    spread: Floats
    cross: Floats
    edges: tuple[int, ...]
    flat_open: bool

    def shown(self) -> tuple[float, float]:
        """Return what the trial is expected to show, and its s.d."""
        mean = float(self.chances @ self.mean)
        return mean, float(np.sqrt(self.chances @ (self.variance + self.mean**2) - mean**2))

    def worth(self, error_variance: float, weights: Sequence[float], open_: tuple[Mask, Mask]) -> float:
        """Return the expected rise of the best gain once the result is known.

        `open_` marks the rows that have trials enough to move, without and with the trial.

        Notes
        -----
        The knowledge gradient (Frazier, Powell, Dayanik, "A Knowledge-Gradient Policy for Sequential
        Information Collection", SIAM J. Control Optim. 47, 2008, p. 2410), its expectation over the results
        by Gauss-Hermite nodes under each belief. A part counts gains as soon as they are
        expected, the rest only where the table could then be moved.
        """
        nodes, shares = HERMITE
        total = self.variance + error_variance
        results = (self.mean[:, None] + np.sqrt(total)[:, None] * nodes).ravel()
        share = (self.chances[:, None] * shares / shares.sum()).ravel()
        log = np.log(self.chances) - 0.5 * np.log(total)
        log = log - 0.5 * (results[:, None] - self.mean) ** 2 / total
        belief = np.exp(log - log.max(axis=1, keepdims=True))
        belief /= belief.sum(axis=1, keepdims=True)
        slope = self.cross / total[:, None]
        away = results[:, None] - self.mean
        then = self.later + away[:, :, None] * slope
        sd = np.sqrt(np.maximum(self.spread - slope * self.cross, SAME))
        after = self._value(belief, then, sd, open_[1])
        sd = np.sqrt(self.spread + SAME)
        before = self._value(self.chances[None, :], self.later[None, :, :], sd, open_[0])
        return max(float(share @ after @ weights - before[0] @ weights), 0.0)

    def _value(self, belief: Floats, mean: Floats, sd: Floats, open_: Mask) -> Floats:
        """Return the worth of each row of the season, a line a result."""
        expected = np.einsum("rk,rkm->rm", belief, mean)
        chance = np.einsum("rk,rkm->rm", belief, ndtr(mean / sd))
        flat = belief[:, :1] if self.flat_open else np.zeros((belief.shape[0], 1))
        proven = np.where((chance >= SURE_TO_MOVE) & (flat <= FLAT_AT_MOST), np.maximum(expected, 0.0), 0.0)
        value = [np.maximum.reduceat(one, self.edges[:-1], axis=1) for one in (expected, proven)]
        return UNPROVEN_SHARE * np.maximum(value[0], 0.0) + (1.0 - UNPROVEN_SHARE) * open_ * value[1]


def _views(candidate: Candidate, pairs: Sequence[tuple[float, float]]) -> list[_View]:
    """Return each pair's trial together with the season's places."""
    now = candidate.tonight
    grids = [_reachable(cell) for cell, _ in candidate.season]
    tried, against = np.array(pairs).T
    shown = Places(np.full(len(pairs), now.wind_kn), tried, against)
    later = [at_wind(cell, grid) for (cell, _), grid in zip(candidate.season, grids, strict=True)]
    moments = candidate.response.moments(_joined([shown, *later]))
    likely = [n for n, chance in enumerate(candidate.response.chances) if chance >= UNLIKELY]
    chances = candidate.response.chances[likely] / candidate.response.chances[likely].sum()
    mean = np.array([moments[n][0] for n in likely])
    covariance = np.array([moments[n][1] for n in likely])
    edges = tuple(int(one) for one in np.cumsum([0, *(grid.size for grid in grids)]))
    first = len(pairs)
    spread = np.diagonal(covariance, axis1=1, axis2=2)[:, first:]
    return [
        _View(
            chances=chances,
            mean=mean[:, n],
            variance=covariance[:, n, n],
            later=mean[:, first:],
            spread=spread,
            cross=covariance[:, n, first:],
            edges=edges,
            flat_open=likely[0] == 0,
        )
        for n in range(first)
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


def _reason(candidate: Candidate) -> str:
    found = find_optimum(candidate.response, candidate.tonight)
    if not found.observations:
        return "nothing tried yet near this wind"
    count = f"{found.observations} trial{'s' if found.observations > 1 else ''} near this wind"
    if found.observations < FEWEST_OBSERVATIONS:
        count += ", and no number moves on one"
    if found.gain > 0.3 and found.best != candidate.tonight.table:
        return f"{count}: the best number may lie {abs(found.best - candidate.tonight.table):g} steps away"
    return f"{count}: still unsure, optimum {found.best_low:+g} to {found.best_high:+g} steps"
