"""How alike neighbouring values of a series are, and how many independent ones it is worth."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError

Floats = NDArray[np.float64]

HIGHEST_FIRST: Final = 0.98
"""A first autocorrelation is not taken above this: the record then is too short to say anything."""


def autocorrelation(values: Floats, lags: int) -> Floats:
    """Return the sample autocorrelation at lags 0 to `lags`.

    Parameters
    ----------
    values : array, shape (n,)
        An even series.
    lags : int
        Largest lag, less than n.

    Returns
    -------
    array, shape (lags + 1,)
        Sum of (y[i] - m) (y[i + k] - m) over the sum of squares; 1 at lag 0.

    Raises
    ------
    InputError
        The series is constant or shorter than the lags.

    Examples
    --------
    >>> autocorrelation(np.array([10000001.0, 10000003.0, 10000002.0]), 1).tolist()
    [1.0, -0.5]
    """
    if not 0 <= lags < values.size:
        raise InputError(
            f"{lags} lags of {values.size} values", next_step="ask for fewer lags than there are values"
        )
    away = values - values.mean()
    total = float(away @ away)
    if total == 0.0:
        raise InputError(
            "every value is the same: nothing varies", next_step="check that the log is not a copy"
        )
    return np.array([float(away[: away.size - k] @ away[k:]) / total for k in range(lags + 1)])


def corrected_first(first: float, count: int) -> float:
    """Return the first autocorrelation freed of its bias.

    Parameters
    ----------
    first : float
        Sample autocorrelation at lag 1.
    count : int
        Number of values.

    Notes
    -----
    The sample value of an autoregressive series with unknown mean is low by (1 + 4 phi) / n to first order
    (Marriott, Pope, "Bias in the estimation of autocorrelations", Biometrika 41, 1954, p. 390); kept in
    [0, 0.98].
    """
    return float(np.clip(first + (1.0 + 4.0 * first) / count, 0.0, HIGHEST_FIRST))


def effective_samples(first: float, count: int) -> float:
    """Return how many independent values a mean of `count` is worth when the series is autoregressive.

    Notes
    -----
    n over 1 + 2 sum (1 - k / n) phi^k, in closed form; n (1 - phi) / (1 + phi) for large n.
    """
    phi, n = first, float(count)
    whole = (1.0 + phi) / (1.0 - phi) - 2.0 * phi * (1.0 - phi**n) / (n * (1.0 - phi) ** 2)
    return float(n / whole)


def pair_sums(values: Floats, stop: int) -> Floats:
    """Return the sums of neighbouring autocorrelations, cut where they stop being positive and falling.

    Notes
    -----
    Geyer's initial monotone sequence: rho[2k] + rho[2k + 1] of a reversible chain is positive and falls
    (Geyer, "Practical Markov Chain Monte Carlo", Statist. Sci. 7, 1992, p. 477).
    """
    rho = autocorrelation(values, min(stop, values.size - 1))
    even = rho[: rho.size - rho.size % 2].reshape(-1, 2).sum(axis=1)
    ends = np.flatnonzero(even <= 0.0)
    kept = even[: ends[0]] if ends.size else even
    return np.minimum.accumulate(kept)


def effective_samples_measured(values: Floats) -> float:
    """Return how many independent values a mean of a long series is worth, whatever its noise.

    Notes
    -----
    n over -1 + 2 times the sum of `pair_sums`, at least 1 and at most n.
    """
    time = -1.0 + 2.0 * float(pair_sums(values, values.size // 2).sum())
    return float(np.clip(values.size / max(time, 1.0), 1.0, values.size))
