from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.settings.gauge import (
    NINETY_PERCENT,
    Reading,
    analyse,
    compare_hardware,
    gauge_study,
)

MARKS = (2.0, 4.0, 6.0, 8.0, 10.0)
PITCH_MM = 25.0


def readings(
    repeat_mm: float, people_mm: tuple[float, ...] = (0.0,), repeats: int = 4, seed: int = 7
) -> list[Reading]:
    """Settings with a known spread: each person has an offset, each setting its own error."""
    random = np.random.default_rng(seed)
    return [
        Reading(f"person {index}", mark, mark * PITCH_MM + offset + repeat_mm * random.standard_normal())
        for index, offset in enumerate(people_mm)
        for mark in MARKS
        for _ in range(repeats)
    ]


def study(found: list[Reading], step_mm: float = 12.5):
    return gauge_study(found, step_mm, mm_per_mark=PITCH_MM)


def test_one_person_has_no_reproducibility() -> None:
    found = study(readings(1.0))
    assert found.reproducibility_mm is None
    assert found.gauge_mm == found.repeatability_mm
    assert found.people == ("person 0",)
    assert found.marks == MARKS


def test_the_sums_of_squares_add_up() -> None:
    table = np.random.default_rng(3).normal(size=(6, 3, 4))
    anova = analyse(table)
    total = float(np.sum((table - table.mean()) ** 2))
    parts = anova.marks_ss + anova.people_ss + anova.interaction_ss + anova.repeat_ss
    assert_allclose(parts, total, rtol=1e-12)
    assert anova.marks_df + anova.people_df + anova.interaction_df + anova.repeat_df == table.size - 1


def test_a_constant_far_from_zero_changes_nothing() -> None:
    table = np.random.default_rng(4).normal(size=(5, 2, 3))
    near, far = analyse(table), analyse(table + 1e9)
    assert_allclose(far.repeat_ss, near.repeat_ss, rtol=1e-5)


def test_known_spreads_are_found_again() -> None:
    found = study(readings(2.0, (-6.0, 0.0, 6.0), repeats=200))
    assert_allclose(found.repeatability_mm, 2.0, rtol=0.05)
    assert found.reproducibility_mm is not None
    assert_allclose(found.reproducibility_mm, 6.0, rtol=0.05)
    assert_allclose(found.gauge_mm, math.hypot(2.0, 6.0), rtol=0.05)
    assert_allclose(found.marks_spread_mm, np.std(np.array(MARKS) * PITCH_MM, ddof=1), rtol=0.05)


def test_the_interval_holds_the_truth_nine_times_in_ten() -> None:
    inside = 0
    for seed in range(300):
        found = study(readings(1.5, seed=seed))
        inside += found.repeatability_low_mm <= 1.5 <= found.repeatability_high_mm
    assert 0.86 <= inside / 300 <= 0.94


@pytest.mark.parametrize(
    ("share", "verdict"), [(0.99, "good"), (1.01, "marginal"), (1.99, "marginal"), (2.01, "too coarse")]
)
def test_the_verdict_is_about_the_step(share: float, verdict: str) -> None:
    found = readings(1.0)
    gauge = study(found).gauge_mm
    step = 2.0 * NINETY_PERCENT * gauge / share
    again = study(found, step_mm=step)
    assert again.verdict == verdict
    assert_allclose(again.resolves_mm, step * share, rtol=1e-9)


def test_settings_hit_exactly_have_no_end_of_categories() -> None:
    exact = [Reading(who, mark, mark * PITCH_MM) for who in "ab" for mark in MARKS for _ in range(2)]
    found = study(exact)
    assert (found.gauge_mm, found.categories, found.verdict) == (0.0, None, "good")
    assert found.mean_error_mm == 0.0


def test_noise_only_gives_one_category() -> None:
    random = np.random.default_rng(1)
    noise = [Reading("a", mark, random.standard_normal()) for mark in MARKS for _ in range(3)]
    assert study(noise).categories == 1


@given(st.floats(0.1, 20.0), st.floats(-500.0, 500.0))
def test_scaling_and_shifting_the_rule(scale: float, shift: float) -> None:
    base = readings(1.0, (0.0, 2.0))
    other = [Reading(one.person, one.mark, one.reading_mm * scale + shift) for one in base]
    one, two = study(base), study(other)
    assert_allclose(two.repeatability_mm, one.repeatability_mm * scale, rtol=1e-6)
    assert two.categories == one.categories


def test_the_order_of_readings_does_not_matter() -> None:
    found = readings(1.0, (0.0, 1.0))
    again = sorted(found, key=lambda one: (one.mark, one.person, one.reading_mm))
    assert_allclose(study(found).gauge_mm, study(again).gauge_mm, rtol=1e-12)


def test_too_few_marks() -> None:
    few = [one for one in readings(1.0) if one.mark < 9.0]
    with pytest.raises(InputError, match="4 different marks"):
        study(few)


def test_a_hole_is_named() -> None:
    holed = readings(1.0, (0.0, 1.0))[:-1]
    with pytest.raises(InputError, match="mark 10 was set 3 times by person 1"):
        study(holed)


def test_one_setting_each_shows_no_repeatability() -> None:
    with pytest.raises(InputError, match="once"):
        study(readings(1.0, repeats=1))


def test_better_hardware_is_found_better() -> None:
    change = compare_hardware(study(readings(4.0, repeats=8)), study(readings(1.0, repeats=8, seed=8)))
    assert change.words.startswith("Better")
    assert change.ratio_low < change.ratio < change.ratio_high < 1.0
    assert change.p < 0.001


def test_the_same_hardware_shows_no_difference() -> None:
    change = compare_hardware(study(readings(2.0)), study(readings(2.0, seed=8)))
    assert change.words.startswith("No difference")
    assert change.ratio_low < 1.0 < change.ratio_high


def test_worse_hardware_is_said_to_be_worse() -> None:
    change = compare_hardware(study(readings(1.0)), study(readings(9.0, seed=8)))
    assert change.words.startswith("Worse")


def test_before_without_spread_cannot_be_compared() -> None:
    exact = study([Reading("a", mark, mark) for mark in MARKS for _ in range(2)])
    with pytest.raises(InputError, match="nothing to compare"):
        compare_hardware(exact, study(readings(1.0)))
