"""A gauge study of one control: read the readings, judge them against its step, keep the result."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cringle.boat.read import read_book_files
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.settings.gauge import BeforeAfter, GaugeStudy, compare_hardware, gauge_study
from cringle.settings.gauge_csv import read_gauge_csv
from cringle.settings.scale import step_mm
from cringle.workflows.book_open import open_records
from cringle.workflows.numbers.gauge_said import GaugeSaid, gauges_said
from cringle.workflows.numbers.marks import control_named


@dataclass(frozen=True)
class GaugeDone:
    """The study of one control, and the comparison when hardware was changed."""

    control: str
    study: GaugeStudy
    change: BeforeAfter | None


def study_gauge(folder: Path, control: str, readings: Path, *, who: str, why: str = "") -> GaugeDone:
    """Judge whether the crew can set a control's step, and keep the result.

    Parameters
    ----------
    folder : Path
        The book.
    control : str
        Id of the control.
    readings : Path
        CSV with ``person,mark,reading_mm`` and, for a change of hardware, ``phase``.
    who, why : str
        Kept with the result.

    Raises
    ------
    InputError
        No such control; too few readings; a mark outside the scale.
    BookFileError
        Mistakes in the file, each with line and column; nothing is stored.
    """
    one = control_named(read_book_files(folder), control)
    found = read_gauge_csv(readings)
    for reading in (*found.before, *found.after):
        if not one.low <= reading.mark <= one.high:
            raise InputError(
                f"{readings}: {one.id} has no mark {reading.mark:g}; accepted: {one.low:g} to {one.high:g}",
                next_step="correct the mark, or name the right control",
            )
    studies = [
        gauge_study(phase, step_mm(one), mm_per_mark=one.mm_per_mark, datum_mm=one.datum_mm)
        for phase in (found.before, found.after)
        if phase
    ]
    if not studies:
        raise InputError(f"{readings}: no readings", next_step="one line for each setting")
    change = compare_hardware(studies[0], studies[1]) if len(studies) > 1 else None
    done = GaugeDone(one.id, studies[-1], change)
    with Book.open(folder, create=True, who=who) as book:
        book.write([NewEntry("gauge_study", one.id, gauge_json(done))], why=why or f"gauge study of {one.id}")
    return done


def gauge_kept(folder: Path) -> dict[str, GaugeSaid]:
    """Return the newest study of each control that has one, by the control's id."""
    with open_records(folder) as records:
        return {one.control: one for one in gauges_said(records)}


def gauge_json(done: GaugeDone) -> dict[str, Any]:
    """Return the result as JSON; unknown is null."""
    change = done.change
    return {
        "schema": 1,
        "control": done.control,
        "study": study_json(done.study),
        "before": None if change is None else study_json(change.before),
        "change": None
        if change is None
        else {
            "ratio": change.ratio,
            "ratio_low": change.ratio_low,
            "ratio_high": change.ratio_high,
            "p": change.p,
            "words": change.words,
        },
    }


def study_json(study: GaugeStudy) -> dict[str, Any]:
    """Return one study as JSON."""
    return {
        "people": list(study.people),
        "marks": list(study.marks),
        "repeats": study.repeats,
        "repeatability_mm": study.repeatability_mm,
        "repeatability_low_mm": study.repeatability_low_mm,
        "repeatability_high_mm": study.repeatability_high_mm,
        "reproducibility_mm": study.reproducibility_mm,
        "gauge_mm": study.gauge_mm,
        "marks_spread_mm": study.marks_spread_mm,
        "categories": study.categories,
        "step_mm": study.step_mm,
        "resolves_mm": study.resolves_mm,
        "mean_error_mm": study.mean_error_mm,
        "pooled": study.pooled,
        "verdict": study.verdict,
        "words": study.words,
    }
