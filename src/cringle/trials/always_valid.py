"""An interval that stays honest however often one looks: stopping when it looks good is allowed.

For every gain that could be true a bet is kept against it, whose worth cannot be expected to grow if it is
true. Gains against which the bet has grown tenfold are ruled out; by Ville's inequality the true one is ever
ruled out with a chance of at most a tenth, over all looks together.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.trials.noise import COVERAGE, Grid, noise_grid

Floats = NDArray[np.float64]

EFFECT_SHARE: Final = 1.0
"""S.d. of the gain that the bet is laid on, over the s.d. of the noise of an instant (our own choice)."""

BISECTIONS: Final = 50
WIDEST: Final = 64.0
"""The interval is sought up to so many times the spread of the values."""


def log_evidence(values: Floats, against: Floats, grid: Grid) -> Floats:
    """Return the log of the bet's worth against gains.

    Parameters
    ----------
    values : array, shape (m, n)
        One record a row, at the times of `grid`.
    against : array, shape (m,)
        The gain under test for each record.
    grid : Grid
        The noise models.

    Returns
    -------
    array, shape (m,)

    Notes
    -----
    Ratio of two marginal likelihoods, the gain normal about the one under test over exactly that one; the
    scale of the noise is integrated out with the invariant prior, so that the ratio is a martingale
    whatever the scale (Lai, "On confidence sequences", Ann. Statist. 4, 1976, p. 265), averaged over the
    noise models by their prior.
    """
    n = values.shape[1]
    one = grid.whiteners.sum(axis=2)
    white = grid.whiteners @ (values - against[:, None]).T
    information = np.sum(one**2, axis=1)
    projected = np.einsum("gn,gnm->gm", one, white)
    return _worth(np.sum(white**2, axis=1), projected, information, grid, n)


def _worth(sums: Floats, projected: Floats, information: Floats, grid: Grid, n: int) -> Floats:
    """Return the log of the bet's worth from whitened sums of squares and sums, each of shape (g, m)."""
    tiny = np.finfo(float).tiny
    shrink = EFFECT_SHARE**2 / (1.0 + EFFECT_SHARE**2 * information)
    base = (grid.log_prior - grid.log_sizes)[:, None]
    null = base - 0.5 * n * np.log(np.maximum(sums, tiny))
    bet = base - 0.5 * np.log1p(EFFECT_SHARE**2 * information)[:, None]
    bet = bet - 0.5 * n * np.log(np.maximum(sums - shrink[:, None] * projected**2, tiny))
    worth: Floats = np.logaddexp.reduce(bet, axis=0) - np.logaddexp.reduce(null, axis=0)
    return worth


def is_ruled_out(values: Floats, against: Floats, grid: Grid) -> NDArray[np.bool_]:
    """Return for each record whether the gain under test is ruled out at 90 %."""
    found: NDArray[np.bool_] = log_evidence(values, against, grid) >= -np.log(1.0 - COVERAGE)
    return found


def always_valid_interval(values: Floats, middle_s: Floats, width_s: float) -> tuple[float, float]:
    """Return the gains that are not ruled out, after any number of looks.

    Parameters
    ----------
    values, middle_s : array, shape (n,)
        Mean of each bin so far, and its middle. [s]
    width_s : float
        Width of a bin. [s]
    """
    grid = noise_grid(middle_s, width_s)
    centre, spread = float(values.mean()), float(values.std()) + np.finfo(float).tiny
    one, white = grid.whiteners.sum(axis=2), grid.whiteners @ (values - centre)
    information, along = np.sum(one**2, axis=1), np.sum(one * white, axis=1)
    square, limit = np.sum(white**2, axis=1), -np.log(1.0 - COVERAGE)
    ends = []
    for sign in (-1.0, 1.0):
        inside, outside = 0.0, WIDEST * spread
        for _ in range(BISECTIONS):
            middle = (inside + outside) / 2.0
            away = sign * middle
            sums = square - 2.0 * away * along + away**2 * information
            projected = along - away * information
            worth = _worth(sums[:, None], projected[:, None], information, grid, values.size)
            inside, outside = (inside, middle) if worth[0] >= limit else (middle, outside)
        ends.append(centre + sign * outside)
    return ends[0], ends[1]
