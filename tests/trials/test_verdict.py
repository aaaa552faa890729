from __future__ import annotations

import pytest

from cringle.errors import InputError
from cringle.trials.noise import Estimate
from cringle.trials.verdict import Answer, judge, minutes_needed, power_quantile


def gain(value: float, half: float, samples: float = 30.0) -> Estimate:
    return Estimate(value, value - half, value + half, half / 1.6449, samples)


@pytest.mark.parametrize(
    ("found", "answer", "words"),
    [
        (gain(3.0, 1.0), Answer.BETTER, "better by 2.0 to 4.0 m a minute"),
        (gain(-3.0, 1.0), Answer.WORSE, "worse by 2.0 to 4.0 m a minute"),
        (gain(0.2, 1.0), Answer.NO_DIFFERENCE, "no difference bigger than 1.2 m a minute"),
        (gain(0.2, 3.0), Answer.NOT_ENOUGH, "not enough yet"),
        (gain(9.0, 1.0, 14.9), Answer.NOT_ENOUGH, "not enough yet"),
    ],
)
def test_the_four_answers(found: Estimate, answer: Answer, words: str) -> None:
    verdict = judge(found, 30.0, matters_m_per_min=2.0)
    assert verdict.answer is answer
    assert verdict.words.startswith(words)
    assert (verdict.minutes_still_needed > 0.0) == (answer is Answer.NOT_ENOUGH)


def test_not_enough_says_how_many_more_and_for_what() -> None:
    verdict = judge(gain(0.0, 3.0), 30.0, matters_m_per_min=2.0)
    more = minutes_needed(gain(0.0, 3.0), 30.0, 2.0) - 30.0
    assert verdict.minutes_still_needed == pytest.approx(more)
    assert f"{int(more) + 1} more minutes for a difference of 2 m a minute at this noise" in verdict.words


def test_half_the_difference_takes_four_times_the_minutes() -> None:
    found = gain(0.0, 3.0, 1000.0)
    assert minutes_needed(found, 30.0, 1.0) == pytest.approx(4.0 * minutes_needed(found, 30.0, 2.0))


def test_few_samples_ask_for_more_minutes_even_when_quiet() -> None:
    assert minutes_needed(gain(0.0, 0.01, 5.0), 10.0, 2.0) == pytest.approx(30.0)


def test_the_quantile_is_that_of_a_normal() -> None:
    assert power_quantile() == pytest.approx(1.6449 + 0.8416, abs=1e-4)


@pytest.mark.parametrize("matters", [0.0, -1.0, float("nan")])
def test_a_difference_that_cannot_matter_is_refused(matters: float) -> None:
    with pytest.raises(InputError, match="cannot matter"):
        judge(gain(0.0, 1.0), 10.0, matters_m_per_min=matters)
