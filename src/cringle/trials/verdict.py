"""A verdict in words, and how long it still takes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from cringle.errors import InputError
from cringle.trials.noise import Estimate, normal_quantile

ENOUGH_SAMPLES: Final = 15.0
"""Below so many effective samples no verdict is given: the noise itself is not known."""

POWER: Final = 0.80
"""A difference that is there is to be seen in so many of the trials."""


class Answer(StrEnum):
    """What a trial says."""

    BETTER = "better"
    WORSE = "worse"
    NO_DIFFERENCE = "no difference"
    NOT_ENOUGH = "not enough yet"


@dataclass(frozen=True)
class Verdict:
    """The answer, in words, and the minutes still needed to see the difference that matters.

    Parameters
    ----------
    answer : Answer
        Which of the four.
    words : str
        The answer as a sentence a crew can use.
    minutes_still_needed : float
        More minutes like these; 0 when there are enough.
    """

    answer: Answer
    words: str
    minutes_still_needed: float


def power_quantile() -> float:
    """Return how many standard errors a difference must be for a 90 % interval and 80 % power, 2.486."""
    from scipy.special import ndtri

    return normal_quantile() + float(ndtri(POWER))


def judge(gain: Estimate, minutes: float, *, matters_m_per_min: float) -> Verdict:
    """Return the verdict on a gain.

    Parameters
    ----------
    gain : Estimate
        In m a minute.
    minutes : float
        Usable minutes behind it.
    matters_m_per_min : float
        The smallest difference worth knowing.

    Raises
    ------
    InputError
        The difference that matters is not positive.
    """
    if not (math.isfinite(matters_m_per_min) and matters_m_per_min > 0.0):
        raise InputError(
            f"a difference of {matters_m_per_min:g} m a minute cannot matter",
            next_step="give a positive number",
        )
    needed = minutes_needed(gain, minutes, matters_m_per_min)
    still = max(0.0, needed - minutes)
    bound = max(abs(gain.low), abs(gain.high))
    if gain.effective_samples >= ENOUGH_SAMPLES and gain.low > 0.0:
        return Verdict(Answer.BETTER, f"better by {_span(gain.low, gain.high)} m a minute", 0.0)
    if gain.effective_samples >= ENOUGH_SAMPLES and gain.high < 0.0:
        return Verdict(Answer.WORSE, f"worse by {_span(-gain.high, -gain.low)} m a minute", 0.0)
    if gain.effective_samples >= ENOUGH_SAMPLES and bound <= matters_m_per_min:
        words = f"no difference bigger than {_up(bound)} m a minute"
        return Verdict(Answer.NO_DIFFERENCE, words, 0.0)
    still = max(still, 1.0)
    words = (
        f"not enough yet: {math.ceil(still)} more minutes for a difference of "
        f"{matters_m_per_min:g} m a minute at this noise"
    )
    return Verdict(Answer.NOT_ENOUGH, words, still)


def minutes_needed(gain: Estimate, minutes: float, difference_m_per_min: float) -> float:
    """Return the minutes in all that show a difference four times in five, at the noise seen so far."""
    wanted = difference_m_per_min / power_quantile()
    by_noise = minutes * (gain.standard_error / wanted) ** 2
    by_samples = minutes * ENOUGH_SAMPLES / gain.effective_samples
    return max(by_noise, by_samples)


def _span(low: float, high: float) -> str:
    return f"{low:.1f} to {high:.1f}"


def _up(value: float) -> str:
    return f"{math.ceil(value * 10.0 - 1e-9) / 10.0:.1f}"
