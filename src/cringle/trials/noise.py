"""How sure a mean is when neighbouring values are alike: one noise model behind every interval of the trials.

The noise of a gain is a slow part that forgets itself exponentially and a fast part that is gone after a few
seconds. Neither the forgetting time nor the share of the fast part is known, and a short record cannot tell
them: so every pair of the two on a grid is weighed by a prior and by the restricted likelihood, which is free
of the bias that estimating the mean brings, and each gives a Student t; the interval is that of their
mixture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError

Floats = NDArray[np.float64]

FORGETTING_TIMES_S: Final = tuple(float(one) for one in np.geomspace(10.0, 160.0, 10))
"""Forgetting times of the slow part on the grid [s]."""

FAST_SHARES: Final = (0.0, 0.25, 0.5, 0.75)
"""Shares of the variance in the fast part on the grid."""

FAST_SHARE_PRIOR: Final = (0.55, 0.15, 0.15, 0.15)
PRIOR_TIME_S, PRIOR_LOG_SD = 45.0, 0.7
"""Prior of the forgetting time: log-normal, 20 to 60 s being usual between two boats (our own choice, from
simulated coverage; see the method page)."""

FAST_TIME_S: Final = 6.0
"""Forgetting time of the fast part: waves and the helm [s] (our own choice)."""

COVERAGE: Final = 0.90
"""Every interval of the trials is a 90 % interval."""

FEWEST_VALUES: Final = 6
ONE_MINUTE_S: Final = 60.0
JITTER: Final = 1e-9
BISECTIONS: Final = 60


@dataclass(frozen=True)
class Estimate:
    """A number from correlated values, with its interval.

    Parameters
    ----------
    value : float
        The estimate.
    low, high : float
        Ends of the 90 % interval.
    standard_error : float
        Half the interval over 1.645: the normal s.d. of the same width.
    effective_samples : float
        How many independent values would tell as much.
    """

    value: float
    low: float
    high: float
    standard_error: float
    effective_samples: float

    @property
    def half_width(self) -> float:
        """Half the width of the interval."""
        return (self.high - self.low) / 2.0


@dataclass(frozen=True)
class Grid:
    """The noise models, factored for the times of one record.

    Parameters
    ----------
    width_s : float
        Length of one bin. [s]
    whiteners : array, shape (g, n, n)
        Inverses of the lower Cholesky factors of `covariances`.
    log_sizes : array, shape (g,)
        Half the log of the determinant of each covariance.
    covariances : array, shape (g, n, n)
        Of the bins, the variance of an instant being 1.
    log_prior : array, shape (g,)
        Log of the prior weight of each.
    """

    width_s: float
    whiteners: Floats
    log_sizes: Floats
    covariances: Floats
    log_prior: Floats


def bin_covariance(lag_s: Floats, width_s: float, forgetting_s: float) -> Floats:
    """Return the covariance of means over bins of an exponentially correlated noise of variance 1.

    Parameters
    ----------
    lag_s : array
        Distance between the middles of two bins; 0 or at least `width_s`. [s]
    width_s, forgetting_s : float
        Width of a bin, and the time after which the correlation is 1/e. [s]

    Notes
    -----
    Both bins' double integral of exp(-|t - t'| / T): within one bin 2 (u - 1 + exp(-u)) / u^2 with
    u = width / T, between two (1 - exp(-u))^2 / u^2 exp(-(lag - width) / T).
    """
    u = width_s / forgetting_s
    within = 2.0 * (u - 1.0 + np.exp(-u)) / u**2
    apart = np.maximum(lag_s - width_s, 0.0)
    between = (1.0 - np.exp(-u)) ** 2 / u**2 * np.exp(-apart / forgetting_s)
    found: Floats = np.where(lag_s < width_s / 2.0, within, between)
    return found


def noise_grid(middle_s: Floats, width_s: float) -> Grid:
    """Return the noise models for bins at some times; the same times are factored once.

    Parameters
    ----------
    middle_s : array, shape (n,)
        Middle of each bin, rising. [s]
    width_s : float
        Width of a bin. [s]

    Raises
    ------
    InputError
        Fewer than six bins.
    """
    if middle_s.size < FEWEST_VALUES:
        raise InputError(
            f"{middle_s.size} bins of {width_s:g} s: at least {FEWEST_VALUES} are needed to know the noise",
            next_step="sail the pair longer",
        )
    ticks = tuple(np.round((middle_s - middle_s[0]) / width_s, 3).tolist())
    return _grid(ticks, width_s)


@lru_cache(maxsize=64)
def _grid(ticks: tuple[float, ...], width_s: float) -> Grid:
    places = np.array(ticks) * width_s
    lag = np.abs(np.subtract.outer(places, places))
    fast = bin_covariance(lag, width_s, FAST_TIME_S)
    covariances, prior = [], []
    for time_s in FORGETTING_TIMES_S:
        slow = bin_covariance(lag, width_s, time_s)
        far = (np.log(time_s) - np.log(PRIOR_TIME_S)) / PRIOR_LOG_SD
        for share, weight in zip(FAST_SHARES, FAST_SHARE_PRIOR, strict=True):
            covariances.append((1.0 - share) * slow + share * fast)
            prior.append(np.log(weight) - 0.5 * far**2)
    whole = np.array(covariances)
    factors = np.linalg.cholesky(whole + JITTER * np.eye(places.size))
    sizes = np.log(np.einsum("gii->gi", factors)).sum(axis=1)
    log_prior = np.array(prior)
    log_prior -= np.log(np.sum(np.exp(log_prior)))
    return Grid(width_s, np.linalg.inv(factors), sizes, whole, log_prior)


def contrasts(
    values: Floats, design: Floats, wanted: Sequence[Sequence[float]], grid: Grid
) -> list[list[Estimate]]:
    """Return least-squares contrasts of one or more records with intervals that respect the correlation.

    Parameters
    ----------
    values : array, shape (m, n)
        One record a row, all at the times of `grid`.
    design : array, shape (n, k)
        What each value is made of; a column of ones alone for a mean.
    wanted : sequence of sequence of float
        Contrasts of the k coefficients.
    grid : Grid
        From `noise_grid`.

    Returns
    -------
    list of list of Estimate
        For each record one estimate a contrast.

    Notes
    -----
    Ordinary least squares gives the coefficients, so that the parts of a sum add up. For noise model j with
    correlation R_j the restricted likelihood is |R|^(-1/2) |X' R^-1 X|^(-1/2) S_j^(-(n-k)/2), S_j the
    generalised residual sum of squares [1]_; the coefficient then is t with n - k degrees of freedom and
    the sandwich variance S_j / (n - k) c' (X'X)^-1 X' R_j X (X'X)^-1 c.

    References
    ----------
    .. [1] Cheang, Reinsel, "Bias Reduction of Autoregressive Estimates in Time Series Regression Model
       through Restricted Maximum Likelihood", J. Amer. Statist. Assoc. 95, 2000, p. 1173.
    """
    weights, sums = _weights(values, design, grid)
    freedom = values.shape[1] - design.shape[1]
    inverse = np.linalg.pinv(design)
    coefficients = values @ inverse.T
    found: list[list[Estimate]] = [[] for _ in values]
    for contrast in wanted:
        line = np.asarray(contrast, dtype=np.float64) @ inverse
        spread = np.einsum("i,gij,j->g", line, grid.covariances, line)
        scale = np.sqrt(sums * spread[:, None] / freedom)
        half = _mixture_half_width(weights, scale, freedom)
        alone = grid.covariances[:, 0, 0] * float(line @ line)
        count = values.shape[1] / np.maximum(np.einsum("gm,g->m", weights, spread / alone), 1.0)
        for row, record in enumerate(found):
            centre = float(np.asarray(contrast) @ coefficients[row])
            record.append(_estimate(centre, float(half[row]), float(count[row])))
    return found


@dataclass(frozen=True)
class NoiseFound:
    """S.d. of one-minute means in the unit of the values, and the forgetting time in s."""

    one_minute_sd: float
    forgetting_s: float


def noise_found(values: Floats, design: Floats, grid: Grid) -> NoiseFound:
    """Return the noise of one record about its design, averaged over the noise models.

    Parameters
    ----------
    values : array, shape (n,)
        Means of bins.
    design : array, shape (n, k)
        As in `contrasts`.
    grid : Grid
        From `noise_grid`.
    """
    weights, sums = _weights(values[None, :], design, grid)
    variance = weights[:, 0] * sums[:, 0] / (values.size - design.shape[1])
    times = np.repeat(FORGETTING_TIMES_S, len(FAST_SHARES))
    shares = np.tile(FAST_SHARES, len(FORGETTING_TIMES_S))
    nothing = np.zeros(1)
    slow = np.array([bin_covariance(nothing, ONE_MINUTE_S, one)[0] for one in times])
    fast = bin_covariance(nothing, ONE_MINUTE_S, FAST_TIME_S)[0]
    one_minute = float(np.sum(variance * ((1.0 - shares) * slow + shares * fast)))
    return NoiseFound(float(np.sqrt(one_minute)), float(np.exp(weights[:, 0] @ np.log(times))))


def _estimate(centre: float, half: float, count: float) -> Estimate:
    return Estimate(centre, centre - half, centre + half, half / normal_quantile(), count)


@lru_cache(maxsize=1)
def normal_quantile() -> float:
    """Return how many s.d. of a normal make half a 90 % interval, 1.645."""
    from scipy.special import ndtri

    return float(ndtri(0.5 + COVERAGE / 2.0))


def _weights(values: Floats, design: Floats, grid: Grid) -> tuple[Floats, Floats]:
    """Return posterior weights and residual sums of squares, each of shape (g, m)."""
    n, k = design.shape
    stacked = np.concatenate([design, values.T], axis=1)
    solved = grid.whiteners @ stacked
    white_design, white_values = solved[:, :, :k], solved[:, :, k:]
    normal = np.einsum("gni,gnj->gij", white_design, white_design)
    right = np.einsum("gni,gnm->gim", white_design, white_values)
    fitted = np.einsum("gni,gim->gnm", white_design, np.linalg.solve(normal, right))
    sums = np.maximum(np.sum((white_values - fitted) ** 2, axis=1), np.finfo(float).tiny)
    size = grid.log_sizes + 0.5 * np.linalg.slogdet(normal)[1]
    log_weight = (grid.log_prior - size)[:, None] - 0.5 * (n - k) * np.log(sums)
    weights = np.exp(log_weight - log_weight.max(axis=0))
    return weights / weights.sum(axis=0), sums


def _mixture_half_width(weights: Floats, scale: Floats, freedom: int) -> Floats:
    """Return the half width that holds 90 % of a mixture of t distributions about one centre."""
    from scipy.special import stdtr, stdtrit

    target = 0.5 + COVERAGE / 2.0
    low = np.zeros(scale.shape[1])
    high = scale.max(axis=0) * stdtrit(freedom, target)
    tiny = np.finfo(float).tiny
    for _ in range(BISECTIONS):
        middle = (low + high) / 2.0
        below = np.sum(weights * stdtr(freedom, middle / np.maximum(scale, tiny)), axis=0) < target
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    half: Floats = (low + high) / 2.0
    return half


def mean_estimate(values: Floats, middle_s: Floats, width_s: float) -> Estimate:
    """Return the mean of one record of bins with its interval.

    Parameters
    ----------
    values : array, shape (n,)
        Mean of each bin.
    middle_s : array, shape (n,)
        Middle of each bin. [s]
    width_s : float
        Width of a bin. [s]
    """
    grid = noise_grid(middle_s, width_s)
    return contrasts(values[None, :], np.ones((values.size, 1)), [[1.0]], grid)[0][0]
