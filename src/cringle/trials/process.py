"""A small Gaussian process: covariance in, posterior and evidence out, by Cholesky factors."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve, cholesky, solve_triangular
from scipy.linalg.lapack import dpotri

from cringle.errors import InputError

Floats = NDArray[np.float64]

JITTER: Final = 1e-10
"""Added to the diagonal over its mean, so that observations of one and the same thing can be factored."""


@dataclass(frozen=True)
class Fitted:
    """A process that has seen some values.

    Parameters
    ----------
    factor : array, shape (n, n)
        Lower Cholesky factor of the covariance with noise.
    weights : array, shape (n,)
        That covariance's inverse times the values less their prior mean.
    log_evidence : float
        Log of the marginal likelihood.
    """

    factor: Floats
    weights: Floats
    log_evidence: float

    def mean(self, cross: Floats) -> Floats:
        """Return the posterior mean less the prior mean; `cross` is the prior covariance, shape (m, n)."""
        found: Floats = cross @ self.weights
        return found

    def covariance(self, prior: Floats, cross: Floats) -> Floats:
        """Return the posterior covariance, shape (m, m), from the prior one and the cross-covariance."""
        half = solve_triangular(self.factor, cross.T, lower=True, check_finite=False)
        found: Floats = prior - half.T @ half
        return found

    @cached_property
    def inverse(self) -> Floats:
        """Inverse of the covariance with noise, shape (n, n)."""
        lower, _ = dpotri(self.factor, lower=1)
        found: Floats = np.tril(lower) + np.tril(lower, -1).T
        return found

    def left_out(self, values: Floats) -> tuple[Floats, Floats]:
        """Return mean and variance of each value predicted from all the others.

        Notes
        -----
        Rasmussen, Williams, "Gaussian Processes for Machine Learning", MIT Press 2006, eq. 5.12: the mean is
        y - [K^-1 y]_i / [K^-1]_ii and the variance 1 / [K^-1]_ii, `values` less the prior mean.
        """
        variance = 1.0 / np.diag(self.inverse)
        return values - self.weights * variance, variance

    def weights_without(self) -> Floats:
        """Return the weights as they would be with one value left out, a column a value, shape (n, n).

        Notes
        -----
        By the inverse of a partitioned matrix: a - [K^-1]_:i a_i / [K^-1]_ii with a the weights.
        """
        found: Floats = self.weights[:, None] - self.inverse * (self.weights / np.diag(self.inverse))
        return found


def squared_exponential(first: Floats, second: Floats, length: Floats | float) -> Floats:
    """Return exp(-r^2 / 2) with r the distance in length scales.

    Parameters
    ----------
    first, second : array, shape (n,) or (n, k), (m,) or (m, k)
        Places.
    length : float or array, shape (k,)
        Length scales.
    """
    one, other = (np.atleast_2d(place.T).T / length for place in (first, second))
    square = sum((one[:, None, k] - other[None, :, k]) ** 2 for k in range(one.shape[1]))
    found: Floats = np.exp(-0.5 * square)
    return found


def fit(values: Floats, covariance: Floats, noise_variance: Floats) -> Fitted:
    """Return the process after it has seen values.

    Parameters
    ----------
    values : array, shape (n,)
        Less their prior mean.
    covariance : array, shape (n, n)
        Prior covariance between them.
    noise_variance : array, shape (n,)
        Variance of the error of each.

    Raises
    ------
    InputError
        A value or a variance is not finite, or a variance not positive.
    """
    if not (np.isfinite(values).all() and np.isfinite(noise_variance).all() and (noise_variance > 0.0).all()):
        raise InputError(
            "an observation has no finite gain, or no positive error",
            next_step="look at the trial's result again",
        )
    whole = covariance + np.diag(noise_variance + JITTER * float(np.mean(np.diag(covariance)) + 1e-12))
    factor = cholesky(whole, lower=True, check_finite=False)
    weights = cho_solve((factor, True), values, check_finite=False)
    size = float(np.log(np.diag(factor)).sum())
    evidence = -0.5 * float(values @ weights) - size - 0.5 * values.size * np.log(2.0 * np.pi)
    return Fitted(factor, weights, float(evidence))
