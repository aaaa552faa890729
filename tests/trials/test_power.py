from __future__ import annotations

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.trials.power import (
    PRIOR_FORGETTING_S,
    PRIOR_NOISE_M_PER_MIN,
    Noise,
    plan_minutes,
    pooled_noise,
    seconds_a_mile_to_gain,
    t_test_power,
)


def test_one_minute_has_the_noise_of_one_minute() -> None:
    assert Noise(4.0, 40.0).mean_variance(1.0) == pytest.approx(16.0)


def test_long_means_fall_with_the_square_root() -> None:
    noise = Noise(4.0, 40.0)
    assert noise.mean_variance(4000.0) == pytest.approx(noise.mean_variance(1000.0) / 4.0, rel=1e-3)


def test_without_past_pairs_the_prior_is_the_noise() -> None:
    found = pooled_noise([])
    assert (found.sd_m_per_min, found.pairs) == (PRIOR_NOISE_M_PER_MIN, 0)
    assert found.forgetting_s == pytest.approx(PRIOR_FORGETTING_S)


def test_past_pairs_take_over() -> None:
    found = pooled_noise([(1.5, 25.0)] * 60)
    assert found.sd_m_per_min == pytest.approx(1.5, abs=0.3)
    assert found.forgetting_s == pytest.approx(25.0, rel=0.05)
    assert found.pairs == 60


def test_a_plan_has_the_power_it_promises() -> None:
    plan = plan_minutes(2.0, Noise())
    assert plan.power >= 0.80
    assert plan.minutes == pytest.approx(plan.block_min * (plan.swaps + 1))
    assert plan.swaps % 2 == 1
    assert plan.block_min <= 10.0


def test_a_plan_that_is_shorter_would_not_do() -> None:
    plan = plan_minutes(1.0, Noise())
    rng = np.random.default_rng(1)
    samples = int(plan.effective_samples)
    sd = np.sqrt(Noise().mean_variance(1e5) * 1e5 * 60.0 / Noise().sample_s)
    drawn = rng.normal(1.0, sd, size=(4000, samples))
    t = drawn.mean(axis=1) / (drawn.std(axis=1, ddof=1) / np.sqrt(samples))
    assert np.mean(np.abs(t) > 1.66) == pytest.approx(0.80, abs=0.05)


def test_a_usual_plan_fits_an_afternoon() -> None:
    assert 40.0 <= plan_minutes(2.0, Noise()).minutes <= 70.0
    assert t_test_power(5.0, 1e5) == 1.0


def test_less_noise_takes_fewer_minutes_but_never_too_few_samples() -> None:
    quiet, loud = plan_minutes(2.0, Noise(0.5, 30.0)), plan_minutes(2.0, Noise(8.0, 30.0))
    assert quiet.minutes < loud.minutes
    assert quiet.effective_samples >= 15.0


@pytest.mark.parametrize("matters", [0.0, float("inf"), 1e-4])
def test_what_no_afternoon_can_show_is_refused(matters: float) -> None:
    with pytest.raises(InputError):
        plan_minutes(matters, Noise(8.0, 60.0))


def test_one_sided_power_is_more() -> None:
    assert t_test_power(0.4, 20.0, sides=1) > t_test_power(0.4, 20.0)
    assert t_test_power(0.0, 20.0) == pytest.approx(0.10, abs=1e-9)


def test_seconds_a_mile_as_metres_a_minute() -> None:
    # 4 kn made good: a mile in 900 s; 9 s less is 1 % of the time, 4/99 kn, 1.2471 m a minute
    assert seconds_a_mile_to_gain(9.0, 4.0) == pytest.approx(4.0 / 99.0 * 1852.0 / 60.0)
