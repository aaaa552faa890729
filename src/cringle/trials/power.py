"""Power first: how many minutes and swaps a trial needs before it is worth sailing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from cringle.constants import NAUTICAL_MILE_M
from cringle.errors import InputError
from cringle.trials.noise import COVERAGE
from cringle.trials.verdict import ENOUGH_SAMPLES, POWER

PRIOR_NOISE_M_PER_MIN: Final = 4.0
"""S.d. of one-minute gains between two alike boats before any have been measured (our own prior)."""

PRIOR_FORGETTING_S: Final = 40.0
"""Forgetting time of that noise before any has been measured [s] (our own prior)."""

PRIOR_PAIRS: Final = 3.0
"""The prior counts as so many past pairs."""

LONGEST_BLOCK_MIN: Final = 10.0
"""After so many minutes the wind has changed; swap before (common practice, no source)."""

MINUTES_PER_HOUR: Final = 60.0
MOST_MINUTES: Final = 100_000.0

CERTAIN: Final = 12.0
NO_OTHER_SIDE: Final = 6.0
"""Standard errors beyond the edge at which the power is 1 to the last digit, and shift from which the other
side adds less than 1e-9 and its series breaks down."""


@dataclass(frozen=True)
class Noise:
    """S.d. of one-minute gains [m/min], their forgetting time [s], and how many pairs they rest on."""

    sd_m_per_min: float = PRIOR_NOISE_M_PER_MIN
    forgetting_s: float = PRIOR_FORGETTING_S
    pairs: int = 0

    def mean_variance(self, minutes: float) -> float:
        """Return the variance of the mean over so many minutes on end [(m/min)^2]."""
        return (
            self.sd_m_per_min**2
            * _mean_factor(minutes, self.forgetting_s)
            / _mean_factor(1.0, self.forgetting_s)
        )

    @property
    def sample_s(self) -> float:
        """Length of one effective sample [s]: twice the forgetting time."""
        return 2.0 * self.forgetting_s


def _mean_factor(minutes: float, forgetting_s: float) -> float:
    u = 60.0 * minutes / forgetting_s
    return 2.0 * (u - 1.0 + math.exp(-u)) / u**2


def pooled_noise(past: Sequence[tuple[float, float]]) -> Noise:
    """Return the noise to plan with: past pairs, and the prior as a few of them.

    Parameters
    ----------
    past : sequence of (s.d. of one-minute gains, forgetting time)
        One for each past pair. [m/min, s]
    """
    weight = PRIOR_PAIRS + len(past)
    square = (PRIOR_PAIRS * PRIOR_NOISE_M_PER_MIN**2 + sum(sd**2 for sd, _ in past)) / weight
    log_time = (PRIOR_PAIRS * math.log(PRIOR_FORGETTING_S) + sum(math.log(one) for _, one in past)) / weight
    return Noise(math.sqrt(square), math.exp(log_time), len(past))


@dataclass(frozen=True)
class Plan:
    """How long to sail a trial.

    Parameters
    ----------
    minutes : float
        In all, both settings together, whole minutes.
    swaps : int
        How often to swap the change over (at least once).
    block_min : float
        Minutes between two swaps.
    effective_samples : float
        What that is worth.
    power : float
        Chance to see the difference that matters if it is there.
    """

    minutes: float
    swaps: int
    block_min: float
    effective_samples: float
    power: float


def t_test_power(effect: float, samples: float, *, sides: int = 2) -> float:
    """Return the power of a one-sample t test at 90 %.

    Parameters
    ----------
    effect : float
        Difference over the s.d. of one sample.
    samples : float
        Independent samples, more than 1.
    sides : int
        2 sees a difference either way.

    Notes
    -----
    Non-central t with n - 1 degrees of freedom and non-centrality effect sqrt(n); closed form.
    """
    from scipy.stats import nct, t

    freedom = samples - 1.0
    edge = float(t.ppf(1.0 - (1.0 - COVERAGE) / sides, freedom))
    shift = abs(effect) * math.sqrt(samples)
    if shift - edge > CERTAIN:
        return 1.0
    above = float(nct.sf(edge, freedom, shift))
    below = 0.0 if sides == 1 or shift > NO_OTHER_SIDE else float(nct.cdf(-edge, freedom, shift))
    return above + below


def plan_minutes(matters_m_per_min: float, noise: Noise) -> Plan:
    """Return the shortest trial that shows a difference four times in five.

    Parameters
    ----------
    matters_m_per_min : float
        The smallest difference worth knowing.
    noise : Noise
        Between the two boats.

    Raises
    ------
    InputError
        The difference is not positive, or no afternoon is long enough for it.
    """
    if not (math.isfinite(matters_m_per_min) and matters_m_per_min > 0.0):
        raise InputError(
            f"a difference of {matters_m_per_min:g} m a minute", next_step="give a positive number"
        )
    sample_sd = math.sqrt(noise.mean_variance(MOST_MINUTES) * MOST_MINUTES * 60.0 / noise.sample_s)
    effect = matters_m_per_min / sample_sd
    low, high = ENOUGH_SAMPLES, MOST_MINUTES * 60.0 / noise.sample_s
    if t_test_power(effect, high) < POWER:
        raise InputError(
            f"a difference of {matters_m_per_min:g} m a minute cannot be seen at a noise of "
            f"{noise.sd_m_per_min:.1f} m a minute",
            next_step="ask for a larger difference",
        )
    low = _fewest_samples(effect, low, high)
    minutes = math.ceil(low * noise.sample_s / 60.0)
    swaps = max(1, math.ceil(minutes / LONGEST_BLOCK_MIN) - 1)
    swaps += (swaps + 1) % 2
    minutes = math.ceil(minutes / (swaps + 1)) * (swaps + 1)
    samples = minutes * 60.0 / noise.sample_s
    return Plan(float(minutes), swaps, minutes / (swaps + 1), samples, t_test_power(effect, samples))


def _fewest_samples(effect: float, low: float, high: float) -> float:
    if t_test_power(effect, low) >= POWER:
        return low
    while high - low > 1e-3 * low:
        middle = math.sqrt(low * high)
        low, high = (low, middle) if t_test_power(effect, middle) >= POWER else (middle, high)
    return high


def seconds_a_mile_to_gain(seconds_a_mile: float, vmg_kn: float) -> float:
    """Return the gain in m a minute that so many seconds a mile are worth.

    Parameters
    ----------
    seconds_a_mile : float
        Of distance made good. [s/mile]
    vmg_kn : float
        Velocity made good of the slower boat. [kn]

    Notes
    -----
    A mile takes t = 3600 / v seconds; the faster boat takes t - s, and is ahead by v (1 / (1 - s / t) - 1).
    """
    share = seconds_a_mile * vmg_kn / 3600.0
    faster = vmg_kn / (1.0 - share)
    return (faster - vmg_kn) * NAUTICAL_MILE_M / MINUTES_PER_HOUR
