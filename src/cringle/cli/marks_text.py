"""Marks, marking days and gauge studies as lines of text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cringle.settings.gauge import GaugeStudy
from cringle.workflows.numbers.gauge import GaugeDone
from cringle.workflows.numbers.marking_day import MarkingDone
from cringle.workflows.numbers.marks import MarkRow

SIGN = {"good": "ok", "look": "LOOK", "unknown": "?"}


def marks_lines(rows: Sequence[MarkRow]) -> Iterator[str]:
    """Yield the stage, the advice and the checks of each control; what needs a look comes with a word."""
    for row in rows:
        yield f"{row.control.name}  [{row.control.id}]  {row.stage or 'no stage'}"
        yield f"    marks: {row.advice.words}"
        for check in row.checks:
            yield f"    {check.what}: {SIGN[check.verdict]}, {check.words}"
    look = sum(check.verdict == "look" for row in rows for check in row.checks)
    yield f"{look} to look at. A useful step is about 13 mm of line, often less (common practice, no source)."


def marking_lines(done: MarkingDone) -> Iterator[str]:
    """Yield what the marking day gave."""
    for scale in done.scales:
        yield (
            f"{scale.control}: marks {scale.low:g} to {scale.high:g}, {scale.mm_per_mark:g} mm each, "
            f"mark 0 at {scale.datum_mm:g} mm from the datum; taped"
        )
        yield from (f"    {words}" for words in scale.words)
    if done.strips is not None:
        yield f"written: {done.strips}, {done.sheets} sheets. Print at 100 %, then measure the bar: 100 mm."
    else:
        named = " ".join(scale.control for scale in done.scales)
        yield f"Next: cringle settings strips {named}"


def gauge_lines(done: GaugeDone) -> Iterator[str]:
    """Yield what a gauge study found."""
    yield f"Gauge study, {done.control}"
    if done.change is not None:
        yield "Before the change"
        yield from study_lines(done.change.before)
        yield "After the change"
    yield from study_lines(done.study)
    if done.change is not None:
        chance = "p < 0.001" if done.change.p < 0.001 else f"p = {done.change.p:.3f}"
        yield f"{done.change.words} {chance}."


def study_lines(study: GaugeStudy) -> Iterator[str]:
    """Yield one study."""
    yield f"  {study.words}"
    yield (
        f"  repeatability {study.repeatability_mm:.2f} mm (90 % interval {study.repeatability_low_mm:.2f} "
        f"to {study.repeatability_high_mm:.2f})"
    )
    if study.reproducibility_mm is None:
        yield "  reproducibility not known: one person cannot show what another would do"
    else:
        yield f"  reproducibility {study.reproducibility_mm:.2f} mm between {', '.join(study.people)}"
    count = "more than can be counted" if study.categories is None else str(study.categories)
    yield f"  distinct categories over the marks studied: {count}"
    yield f"  mean distance from the scale's own places: {study.mean_error_mm:+.1f} mm"
