"""Gauge study: whether the crew can set a number again, well enough for the control's step.

Several set numbers are set, several times each, by one or more people; somebody else reads the line with
a steel rule to the datum. The spread of one person's own readings is the repeatability; what people add
to it by setting differently is the reproducibility.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError

FEWEST_MARKS = 5
FEWEST_REPEATS = 2
POOL_ABOVE_P = 0.25
"""An interaction less significant than this is pooled with the repeatability [1]_ in `gauge_study`."""

NINETY_PERCENT = 1.6448536269514722
"""Standard normal quantile of 0.95: half of a two-sided 90 % interval, in standard deviations."""

CATEGORIES_FACTOR = math.sqrt(2.0)
"""Distinct categories = sqrt(2) x part spread / gauge spread; the manual prints 1.41."""

Verdict = Literal["good", "marginal", "too coarse"]


@dataclass(frozen=True)
class Reading:
    """One setting: who set which number, and where the steel rule found the line [mm]."""

    person: str
    mark: float
    reading_mm: float


@dataclass(frozen=True)
class Anova:
    """Sums of squares [mm2] and degrees of freedom; people and interaction are 0 with one person."""

    marks_ss: float
    marks_df: int
    people_ss: float
    people_df: int
    interaction_ss: float
    interaction_df: int
    repeat_ss: float
    repeat_df: int
    interaction_p: float | None

    @property
    def repeat_ms(self) -> float:
        """Mean square of repeated settings [mm2]."""
        return self.repeat_ss / self.repeat_df

    @property
    def marks_f(self) -> float:
        """Mean square of the marks over that of the repeats."""
        return (self.marks_ss / self.marks_df) / self.repeat_ms if self.repeat_ms > 0 else math.inf


@dataclass(frozen=True)
class GaugeStudy:
    """What a study found. Spreads are standard deviations [mm].

    `reproducibility_mm` is None with one person: one person cannot show what another would do.
    `repeatability_low_mm` and `_high_mm` are the 90 % interval. `categories` is how many settings
    along the studied range can be told apart. `resolves_mm` is the smallest step that nine settings in
    ten hit.
    """

    people: tuple[str, ...]
    marks: tuple[float, ...]
    repeats: int
    anova: Anova
    pooled: bool
    repeatability_mm: float
    repeatability_low_mm: float
    repeatability_high_mm: float
    reproducibility_mm: float | None
    gauge_mm: float
    marks_spread_mm: float
    categories: int | None
    step_mm: float
    resolves_mm: float
    mean_error_mm: float
    verdict: Verdict
    words: str


@dataclass(frozen=True)
class BeforeAfter:
    """Two studies of one control, before and after a change of hardware.

    `ratio` is after over before of the repeatability, with its 90 % interval; `p` is the chance of a
    ratio this far from one when nothing has changed.
    """

    before: GaugeStudy
    after: GaugeStudy
    ratio: float
    ratio_low: float
    ratio_high: float
    p: float
    words: str


def gauge_study(
    readings: Sequence[Reading], step_mm: float, *, mm_per_mark: float, datum_mm: float = 0.0
) -> GaugeStudy:
    """Return repeatability, reproducibility, distinct categories and a verdict against the step.

    Parameters
    ----------
    readings : sequence of Reading
        Five or more marks, each set the same number of times (two or more) by every person.
    step_mm : float
        The control's step as a length of line. [mm]
    mm_per_mark, datum_mm : float
        The scale, for the mean error of the settings. [mm]

    Raises
    ------
    InputError
        Too few marks or repeats, or a design with holes; the message names the first hole.

    Notes
    -----
    Balanced two-way random-effects analysis of variance with interaction, expected mean squares solved
    for the variance components, negative ones set to zero; the interaction is pooled when its p is above
    0.25 [1]_. With one person it is the one-way random-effects analysis. The verdict is this program's
    own: *good* when nine settings in ten fall within half a step of their place
    (1.645 gauge spreads within half a step), *marginal* when they fall within a whole step.

    References
    ----------
    .. [1] Automotive Industry Action Group, "Measurement Systems Analysis", 4th ed., 2010, chapter III,
       section B and appendix A (from memory).
    """
    table, people, marks = _balanced(readings)
    anova = analyse(table)
    spreads = _components(anova, table.shape)
    gauge = math.hypot(spreads.repeat, spreads.people or 0.0)
    low, high = _spread_interval(spreads.repeat, spreads.repeat_df)
    verdict = _verdict(gauge, step_mm)
    resolves = 2.0 * NINETY_PERCENT * gauge
    places = datum_mm + np.asarray(marks) * mm_per_mark
    return GaugeStudy(
        people=people,
        marks=marks,
        repeats=table.shape[2],
        anova=anova,
        pooled=spreads.pooled,
        repeatability_mm=spreads.repeat,
        repeatability_low_mm=low,
        repeatability_high_mm=high,
        reproducibility_mm=spreads.people,
        gauge_mm=gauge,
        marks_spread_mm=spreads.marks,
        categories=_categories(spreads.marks, gauge),
        step_mm=step_mm,
        resolves_mm=resolves,
        mean_error_mm=float(np.mean(table - places[:, None, None])),
        verdict=verdict,
        words=_verdict_words(verdict, resolves, step_mm),
    )


def _balanced(
    readings: Sequence[Reading],
) -> tuple[NDArray[np.float64], tuple[str, ...], tuple[float, ...]]:
    """Return the readings as marks x people x repeats, or raise naming what is missing."""
    people = tuple(dict.fromkeys(one.person for one in readings))
    marks = tuple(sorted({one.mark for one in readings}))
    counts = Counter((one.mark, one.person) for one in readings)
    if len(marks) < FEWEST_MARKS:
        raise InputError(
            f"{len(marks)} different marks were set, at least {FEWEST_MARKS} are needed",
            next_step="set more different numbers, spread over the sailing range",
        )
    most = max(counts.values())
    hole = next(((m, p) for m in marks for p in people if counts[m, p] != most), None)
    if hole is not None:
        raise InputError(
            f"mark {hole[0]:g} was set {counts[hole]} times by {hole[1]}, others {most} times",
            next_step="every person sets every mark the same number of times; complete or leave out a mark",
        )
    if most < FEWEST_REPEATS:
        raise InputError(
            "each mark was set once: repeatability cannot be seen",
            next_step=f"let everybody set each mark at least {FEWEST_REPEATS} times, in random order",
        )
    found: dict[tuple[float, str], list[float]] = {}
    for one in readings:
        found.setdefault((one.mark, one.person), []).append(one.reading_mm)
    table = np.array([[found[mark, person] for person in people] for mark in marks], dtype=np.float64)
    return table, people, marks


def analyse(table: NDArray[np.float64]) -> Anova:
    """Return the analysis of variance of readings of shape (marks, people, repeats).

    Readings are centred first, so that figures with many constant leading digits keep their precision.
    """
    centred = table - table.mean()
    n_marks, n_people, repeats = table.shape
    cells = centred.mean(axis=2)
    by_mark, by_person = cells.mean(axis=1), cells.mean(axis=0)
    interaction = cells - by_mark[:, None] - by_person[None, :] + cells.mean()
    repeat_ss = float(np.sum((centred - cells[:, :, None]) ** 2))
    repeat_df = n_marks * n_people * (repeats - 1)
    interaction_ss, interaction_df = float(repeats * np.sum(interaction**2)), (n_marks - 1) * (n_people - 1)
    return Anova(
        marks_ss=float(n_people * repeats * np.sum((by_mark - cells.mean()) ** 2)),
        marks_df=n_marks - 1,
        people_ss=float(n_marks * repeats * np.sum((by_person - cells.mean()) ** 2)) if n_people > 1 else 0.0,
        people_df=n_people - 1,
        interaction_ss=interaction_ss if n_people > 1 else 0.0,
        interaction_df=interaction_df,
        repeat_ss=repeat_ss,
        repeat_df=repeat_df,
        interaction_p=_f_tail(interaction_ss, interaction_df, repeat_ss, repeat_df) if n_people > 1 else None,
    )


def _f_tail(upper_ss: float, upper_df: int, lower_ss: float, lower_df: int) -> float:
    from scipy import stats

    if lower_ss <= 0:
        return 0.0 if upper_ss > 0 else 1.0
    return float(stats.f.sf((upper_ss / upper_df) / (lower_ss / lower_df), upper_df, lower_df))


@dataclass(frozen=True)
class _Spreads:
    """Standard deviations of the variance components [mm]."""

    repeat: float
    repeat_df: int
    people: float | None
    marks: float
    pooled: bool


def _components(anova: Anova, shape: tuple[int, ...]) -> _Spreads:
    """Solve the expected mean squares for the spreads; a negative variance is zero."""
    n_marks, n_people, repeats = shape
    marks_ms = anova.marks_ss / anova.marks_df
    if n_people == 1:
        marks_variance = max(0.0, (marks_ms - anova.repeat_ms) / repeats)
        return _Spreads(
            math.sqrt(anova.repeat_ms), anova.repeat_df, None, math.sqrt(marks_variance), pooled=False
        )
    pooled = anova.interaction_p is not None and anova.interaction_p > POOL_ABOVE_P
    repeat_ss = anova.repeat_ss + (anova.interaction_ss if pooled else 0.0)
    repeat_df = anova.repeat_df + (anova.interaction_df if pooled else 0)
    repeat = repeat_ss / repeat_df
    mixed = repeat if pooled else anova.interaction_ss / anova.interaction_df
    interaction = max(0.0, (mixed - repeat) / repeats)
    people = max(0.0, (anova.people_ss / anova.people_df - mixed) / (n_marks * repeats))
    marks = max(0.0, (marks_ms - mixed) / (n_people * repeats))
    return _Spreads(math.sqrt(repeat), repeat_df, math.sqrt(people + interaction), math.sqrt(marks), pooled)


def _spread_interval(spread: float, degrees: int) -> tuple[float, float]:
    """Return the 90 % interval of a standard deviation from its chi-square."""
    from scipy import stats

    lower, upper = (float(stats.chi2.ppf(p, degrees)) for p in (0.05, 0.95))
    return spread * math.sqrt(degrees / upper), spread * math.sqrt(degrees / lower)


def _categories(marks: float, gauge: float) -> int | None:
    """Return how many settings can be told apart; None when every setting was hit exactly."""
    return max(1, math.floor(CATEGORIES_FACTOR * marks / gauge)) if gauge > 0 else None


def _verdict(gauge: float, step: float) -> Verdict:
    reach = NINETY_PERCENT * gauge
    if reach <= step / 2:
        return "good"
    return "marginal" if reach <= step else "too coarse"


def _verdict_words(verdict: Verdict, resolves_mm: float, step_mm: float) -> str:
    tail = f"nine settings in ten hit a step of {resolves_mm:.1f} mm; the scale's step is {step_mm:g} mm"
    return {
        "good": f"The crew can set this step: {tail}.",
        "marginal": f"Only just: {tail}. Train it, or mark it coarser.",
        "too coarse": f"The crew cannot set this step: {tail}. Look at the hardware, or use a coarser step.",
    }[verdict]


def compare_hardware(before: GaugeStudy, after: GaugeStudy) -> BeforeAfter:
    """Return whether a change of hardware made a number easier to set again.

    The ratio of the two repeatabilities, with the interval and the two-sided p of the variance-ratio (F)
    test; degrees of freedom as pooled in each study.
    """
    from scipy import stats

    degrees = [_pooled_degrees(one) for one in (before, after)]
    if before.repeatability_mm <= 0:
        raise InputError(
            "before the change every setting was hit exactly: there is nothing to compare",
            next_step="read the line to the millimetre or finer",
        )
    ratio = after.repeatability_mm / before.repeatability_mm
    upper, lower = (float(stats.f.ppf(p, degrees[1], degrees[0])) for p in (0.95, 0.05))
    tail = float(stats.f.cdf(ratio**2, degrees[1], degrees[0]))
    p = 2.0 * min(tail, 1.0 - tail)
    low, high = ratio / math.sqrt(upper), ratio / math.sqrt(lower)
    if high < 1.0:
        words = f"Better: the spread is {ratio:.2f} of what it was (90 % interval {low:.2f} to {high:.2f})."
    elif low > 1.0:
        words = f"Worse: the spread is {ratio:.2f} times what it was (90 % interval {low:.2f} to {high:.2f})."
    else:
        words = f"No difference shown: ratio {ratio:.2f}, 90 % interval {low:.2f} to {high:.2f} holds 1."
    return BeforeAfter(before, after, ratio, low, high, p, words)


def _pooled_degrees(study: GaugeStudy) -> int:
    return study.anova.repeat_df + (study.anova.interaction_df if study.pooled else 0)
