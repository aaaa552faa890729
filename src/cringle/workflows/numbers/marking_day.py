"""The marking day: from answers about each line to its scale in ``boat.toml``, its history and its strip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError, model_validator

from cringle.boat.base import FileModel, Identifier
from cringle.boat.boat_file import Control
from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.boat.toml_text import parse, read_toml
from cringle.boat.write import set_values, write_atomically
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import CringleError, InputError
from cringle.settings.markup import LineFound, Match, Scale, differences, scale_for_line, scale_for_pair
from cringle.workflows.numbers.marks import control_named, print_strips

BOAT = "boat.toml"
FIELDS = ("datum_mm", "mm_per_mark", "step", "low", "high", "stop_low_mm", "stop_high_mm")


class MatchAnswer(FileModel):
    """One comparison: the other side at a mark, this side read in mm at the same shape of the sail."""

    mark: float
    reading_mm: float


class LineAnswers(FileModel):
    """What was found for one control. The second side of a pair gives `match` instead of a sailing range."""

    control: Identifier
    stop_low_mm: float
    stop_high_mm: float
    sail_low_mm: float | None = None
    sail_high_mm: float | None = None
    mm_per_mark: float | None = Field(default=None, gt=0)
    step: float | None = Field(default=None, gt=0)
    datum: str = ""
    match: tuple[MatchAnswer, ...] = ()

    @model_validator(mode="after")
    def _one_way(self) -> LineAnswers:
        has_range = self.sail_low_mm is not None and self.sail_high_mm is not None
        if has_range == bool(self.match):
            raise ValueError("give sail_low_mm and sail_high_mm, or match with the other side; not both")
        return self


class MarkingAnswers(FileModel):
    """All of an answers file: ``[[lines]]`` in the order in which they were marked."""

    lines: tuple[LineAnswers, ...] = Field(min_length=1)


@dataclass(frozen=True)
class MarkingDone:
    """What a marking day gave: the scales, and where the strips are."""

    scales: tuple[Scale, ...]
    strips: Path | None
    sheets: int


def read_answers(path: Path) -> MarkingAnswers:
    """Read an answers file.

    Raises
    ------
    InputError
        There is no such file.
    BookFileError
        Every mistake with its line and field.
    """
    return parse(read_toml(path), MarkingAnswers)


def line_answers(**fields: object) -> LineAnswers:
    """Return the answers for one line, given one by one; empty ones are left out.

    Raises
    ------
    InputError
        An answer is missing, not finite, or the wrong way round; all are named.
    """
    given = {name: value for name, value in fields.items() if value is not None}
    try:
        return LineAnswers.model_validate(given)
    except ValidationError as error:
        words = "; ".join(
            f"{'.'.join(str(part) for part in one['loc']) or fields.get('control')}: {one['msg']}"
            for one in error.errors()
        )
        raise InputError(
            f"answers: {words}", next_step="give both stops and the sailing range in mm, or --answers FILE"
        ) from error


def mark_up(
    folder: Path,
    answers: MarkingAnswers,
    *,
    who: str,
    why: str = "",
    strips: Path | None = None,
    at: datetime | None = None,
) -> MarkingDone:
    """Write the scales of a marking day.

    Every line is worked out first; when one cannot be, nothing is written. Then ``boat.toml`` is changed
    in one step, comments kept, the history gets a ``scale`` and a ``mark_stage`` (taped) for each line and
    one ``toml_edit``, and the strips are printed. When the history refuses, the file is put back.

    Raises
    ------
    InputError
        A sailing range or a mark lies beyond a stop; the sides do not agree to half a mark.
    ConflictError
        Somebody else marked the same line meanwhile.
    """
    files = read_book_files(folder)
    scales = work_out(files, answers)
    path = folder / BOAT
    before = path.read_bytes()
    try:
        set_values(path, _changes(files, answers, scales))
        read_book_files(folder)
        _record(folder, answers, scales, who=who, why=why)
    except CringleError:
        write_atomically(path, before)
        raise
    sheets = print_strips(folder, [one.control for one in scales], strips, at=at) if strips else 0
    return MarkingDone(tuple(scales), strips, sheets)


def work_out(files: BookFiles, answers: MarkingAnswers, *, whole_day: bool = True) -> list[Scale]:
    """Return the scale of each line of the answers, in order; nothing is written.

    With `whole_day` a pair must end up alike; in the middle of a walk its second side may still come.
    A second side of a pair is matched to the first side's scale of the same day, else to the one in force.
    """
    made: dict[str, Scale] = {}
    for one in answers.lines:
        control = control_named(files, one.control)
        if control.id in made:
            raise InputError(f"{control.id} is answered twice", next_step="keep one of the two")
        made[control.id] = _scale_of(files, control, one, made)
    if whole_day:
        _pairs_stay_alike(files, made)
    return list(made.values())


def _scale_of(files: BookFiles, control: Control, one: LineAnswers, made: Mapping[str, Scale]) -> Scale:
    if one.sail_low_mm is None or one.sail_high_mm is None:
        first = _first_side(files, control, made)
        matches = [Match(m.mark, m.reading_mm) for m in one.match]
        return scale_for_pair(control, first, (one.stop_low_mm, one.stop_high_mm), matches)
    found = LineFound(
        stop_low_mm=one.stop_low_mm,
        stop_high_mm=one.stop_high_mm,
        sail_low_mm=one.sail_low_mm,
        sail_high_mm=one.sail_high_mm,
        mm_per_mark=one.mm_per_mark or control.mm_per_mark,
        step=one.step or control.step,
        from_zero=control.low >= 0,
    )
    return scale_for_line(control, found)


def _first_side(files: BookFiles, control: Control, made: Mapping[str, Scale]) -> Scale:
    if control.pair is None:
        raise InputError(
            f"{control.id} has no other side to match", next_step="give sail_low_mm and sail_high_mm"
        )
    if control.pair in made:
        return made[control.pair]
    other = control_named(files, control.pair)
    if other.stop_low_mm is None or other.stop_high_mm is None:
        raise InputError(
            f"{other.id} has no stops yet", next_step=f"mark {other.id} first, then match {control.id} to it"
        )
    values = {name: float(getattr(other, name)) for name in FIELDS}
    return Scale(control=other.id, shift_marks=None, words=(), **values)


def _pairs_stay_alike(files: BookFiles, made: Mapping[str, Scale]) -> None:
    """Refuse to leave a pair with marks of two lengths or two ranges."""
    for scale in made.values():
        control = control_named(files, scale.control)
        if control.pair is None:
            continue
        other: Scale | Control = made.get(control.pair) or control_named(files, control.pair)
        ours = (scale.mm_per_mark, scale.step, scale.low, scale.high)
        if ours != (other.mm_per_mark, other.step, other.low, other.high):
            raise InputError(
                f"{control.id} and {control.pair} would have different scales",
                next_step=f"mark both on the same day: match {control.pair} to {control.id}",
            )


def _changes(
    files: BookFiles, answers: MarkingAnswers, scales: Sequence[Scale]
) -> list[tuple[Sequence[str | int], Any]]:
    """Return what changes in ``boat.toml``."""
    index = {one.id: place for place, one in enumerate(files.boat_file.controls)}
    datums = {one.control: one.datum for one in answers.lines if one.datum}
    changes: list[tuple[Sequence[str | int], Any]] = [
        (("controls", index[scale.control], name), _tidy(name, getattr(scale, name)))
        for scale in scales
        for name in FIELDS
        if getattr(scale, name) != getattr(files.boat_file.controls[index[scale.control]], name)
    ]
    changes += [(("controls", index[name], "datum"), words) for name, words in datums.items()]
    return changes


def _tidy(name: str, value: float) -> float | int:
    """Return a number as a person would write it: the ends of a scale are whole marks."""
    return int(value) if name in ("low", "high") and value.is_integer() else value


def _record(folder: Path, answers: MarkingAnswers, scales: Sequence[Scale], *, who: str, why: str) -> None:
    matches = {one.control: [Match(m.mark, m.reading_mm) for m in one.match] for one in answers.lines}
    with Book.open(folder, create=True, who=who) as book:
        entries = []
        for scale in scales:
            payload: dict[str, Any] = {name: getattr(scale, name) for name in FIELDS}
            payload["shift_marks"] = scale.shift_marks
            payload["matches"] = [list(pair) for pair in differences(scale, matches[scale.control])]
            for kind, value in (("scale", payload), ("mark_stage", {"value": "taped"})):
                stands = book.one(kind, scale.control)
                entries.append(NewEntry(kind, scale.control, value, base_id=stands.id if stands else None))
        named = [one.control for one in scales]
        entries.append(NewEntry("toml_edit", BOAT, {"controls": named, "fields": list(FIELDS)}))
        book.write(entries, why=why or "marking day")


def marking_json(done: MarkingDone) -> dict[str, Any]:
    """Return what a marking day gave as JSON."""
    scales = [
        {
            "control": one.control,
            **{name: getattr(one, name) for name in FIELDS if name.endswith("_mm")},
            "mm_per_mark": one.mm_per_mark,
            "step_marks": one.step,
            "low_marks": one.low,
            "high_marks": one.high,
            "shift_marks": one.shift_marks,
            "words": list(one.words),
        }
        for one in done.scales
    ]
    strips = None if done.strips is None else {"path": str(done.strips), "sheets": done.sheets}
    return {"schema": 1, "scales": scales, "strips": strips}
