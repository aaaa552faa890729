"""The marking day for one line: from what is found on the boat to its scale. Pure arithmetic, no files.

The order of the day: find the physical stops; no mark beyond them; put the sailing range mid-scale; set
the datum; match the other side to half a mark.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from cringle.boat.boat_file import Control
from cringle.errors import InputError, OutOfRangeError

AGREE_MARKS = 0.5
"""Port and starboard agree when they are within half a mark."""

MOST_MARKS = 60


@dataclass(frozen=True)
class LineFound:
    """What was found on the boat, in millimetres from the datum.

    Parameters
    ----------
    stop_low_mm, stop_high_mm : float
        The physical stops: where the line can go no further.
    sail_low_mm, sail_high_mm : float
        Ends of the range the boat is sailed in.
    mm_per_mark, step : float
        Length of one mark; smallest change in marks.
    from_zero : bool
        Marks count from 0 at the low end; otherwise 0 is in the middle, as on a traveller.
    """

    stop_low_mm: float
    stop_high_mm: float
    sail_low_mm: float
    sail_high_mm: float
    mm_per_mark: float
    step: float
    from_zero: bool = True


@dataclass(frozen=True)
class Match:
    """One comparison of two sides at the same shape of the sail: mark here, millimetres there."""

    mark: float
    reading_mm: float


@dataclass(frozen=True)
class Scale:
    """The scale a marking day gives: mark n lies ``datum_mm + n * mm_per_mark`` from the datum.

    `words` says what was done; `shift_marks` is what to add to an old number to mean the same length,
    None when the length of a mark changed.
    """

    control: str
    datum_mm: float
    mm_per_mark: float
    step: float
    low: float
    high: float
    stop_low_mm: float
    stop_high_mm: float
    shift_marks: float | None
    words: tuple[str, ...]

    def to_mm(self, mark: float) -> float:
        """Return the distance of a mark from the datum [mm]."""
        return self.datum_mm + mark * self.mm_per_mark


def scale_for_line(control: Control, found: LineFound) -> Scale:
    """Return the scale that puts the sailing range mid-scale with no mark beyond a stop.

    The middle of the sailing range becomes the middle mark, rounded to whole millimetres. The scale
    keeps the number of marks it has, fewer when a stop is in the way, never fewer than the sailing range
    needs.

    Raises
    ------
    OutOfRangeError
        The sailing range lies beyond a stop.
    InputError
        The ends are the wrong way round, or no scale around the sailing range fits between the stops.
    """
    _check(control.id, found)
    middle = round((found.sail_low_mm + found.sail_high_mm) / 2.0)
    room = min(middle - found.stop_low_mm, found.stop_high_mm - middle)
    fits = math.floor(room / found.mm_per_mark + 1e-9)
    needed = math.ceil((found.sail_high_mm - found.sail_low_mm) / 2.0 / found.mm_per_mark - 1e-9)
    wished = max(needed, round((control.high - control.low) / 2.0))
    if fits < max(needed, 1):
        near = "low" if middle - found.stop_low_mm < found.stop_high_mm - middle else "high"
        raise InputError(
            f"{control.id}: a scale with the sailing range mid-scale needs a mark beyond the {near} stop "
            f"({needed} marks either side of {middle} mm, room for {fits})",
            next_step="move the lead or change the length of the line so that the sailing range comes off "
            "the stop, or use finer marks; a mark beyond a stop cannot be set",
        )
    half = min(fits, wished)
    low, high = (0.0, 2.0 * half) if found.from_zero else (-float(half), float(half))
    datum = middle - (half * found.mm_per_mark if found.from_zero else 0.0)
    words = [f"sailing range {found.sail_low_mm:g} to {found.sail_high_mm:g} mm: middle mark at {middle} mm"]
    if half < wished:
        words.append(f"{2 * half} marks instead of {2 * wished}: the stops leave no room for more")
    return _scale(control, found, (datum, low, high), words)


def _check(name: str, found: LineFound) -> None:
    if not found.stop_low_mm < found.stop_high_mm:
        raise InputError(
            f"{name}: low stop {found.stop_low_mm:g} mm is not below high stop {found.stop_high_mm:g} mm",
            next_step="measure both stops from the same datum, growing the same way",
        )
    if not found.sail_low_mm < found.sail_high_mm:
        raise InputError(
            f"{name}: sailing range {found.sail_low_mm:g} to {found.sail_high_mm:g} mm is empty",
            next_step="give the two ends of the range the boat is sailed in, the smaller first",
        )
    if found.mm_per_mark <= 0 or found.step <= 0:
        raise InputError(f"{name}: length of a mark and step must be more than 0", next_step="measure again")
    if (found.stop_high_mm - found.stop_low_mm) / found.mm_per_mark > 4 * MOST_MARKS:
        raise InputError(
            f"{name}: a mark of {found.mm_per_mark:g} mm is too fine for this line",
            next_step="check the unit: all lengths are in millimetres",
        )
    for end in (found.sail_low_mm, found.sail_high_mm):
        if not found.stop_low_mm <= end <= found.stop_high_mm:
            raise OutOfRangeError(
                f"{name}: sailing range",
                end,
                found.stop_low_mm,
                found.stop_high_mm,
                unit="mm",
                next_step="the line cannot go beyond its stop; measure again from the same datum",
            )


def _scale(
    control: Control, found: LineFound, ends: tuple[float, float, float], words: Sequence[str]
) -> Scale:
    datum, low, high = ends
    same_length = math.isclose(found.mm_per_mark, control.mm_per_mark)
    shift = (control.datum_mm - datum) / found.mm_per_mark if same_length else None
    said = [*words, *_shift_words(shift)]
    made = Scale(
        control=control.id,
        datum_mm=float(datum),
        mm_per_mark=found.mm_per_mark,
        step=found.step,
        low=low,
        high=high,
        stop_low_mm=found.stop_low_mm,
        stop_high_mm=found.stop_high_mm,
        shift_marks=shift,
        words=tuple(said),
    )
    _refuse_beyond_stop(made)
    return made


def _shift_words(shift: float | None) -> list[str]:
    if shift is None:
        return ["the length of a mark changed: numbers of the table for this line mean another place now"]
    if abs(shift) < 0.05:
        return ["numbers mean the same place as before"]
    marks = f"{shift:+.1f}".replace("-", "−")
    return [f"to mean the same place as before, a number of the table changes by {marks} marks"]


def _refuse_beyond_stop(made: Scale) -> None:
    for mark in (made.low, made.high):
        if not made.stop_low_mm - 1e-6 <= made.to_mm(mark) <= made.stop_high_mm + 1e-6:
            raise OutOfRangeError(
                f"{made.control}: mark {mark:g}",
                made.to_mm(mark),
                made.stop_low_mm,
                made.stop_high_mm,
                unit="mm",
                next_step="a mark beyond a stop cannot be set; shorten the scale or move the stop",
            )


def scale_for_pair(
    control: Control, first: Scale, found: tuple[float, float], matches: Sequence[Match]
) -> Scale:
    """Return the scale of the second side, so that the same number gives the same shape of the sail.

    Parameters
    ----------
    control : Control
        The second side.
    first : Scale
        Scale of the side already marked.
    found : (float, float)
        The second side's own stops from its own datum. [mm]
    matches : sequence of Match
        Two or more comparisons: the first side at a mark, the second read at the same sail shape.

    Raises
    ------
    InputError
        Fewer than two comparisons, or they do not agree to half a mark with any one datum.
    OutOfRangeError
        An end mark would lie beyond a stop of this side.
    """
    if len({one.mark for one in matches}) < 2:
        raise InputError(
            f"{control.id}: {len(matches)} comparisons with the other side, two different marks are needed",
            next_step="set the first side at a low and a high mark, read this side at the same sail shape",
        )
    offsets = [one.reading_mm - one.mark * first.mm_per_mark for one in matches]
    datum = round(sum(offsets) / len(offsets))
    worst = max(abs(offset - datum) for offset in offsets) / first.mm_per_mark
    if worst > AGREE_MARKS:
        raise InputError(
            f"{control.id}: the two sides differ by {worst:.1f} marks whatever the datum; "
            f"accepted: {AGREE_MARKS:g}",
            next_step="the leads differ: measure both leads and blocks, make them alike, then compare again",
        )
    merged = LineFound(*found, 0.0, 0.0, first.mm_per_mark, first.step)
    words = [f"matched to {first.control} within {worst:.1f} marks"]
    return _scale(control, merged, (float(datum), first.low, first.high), words)


def differences(scale: Scale, matches: Sequence[Match]) -> list[tuple[float, float]]:
    """Return, per comparison, the first side's mark and the number this side's scale reads there."""
    return [(one.mark, (one.reading_mm - scale.datum_mm) / scale.mm_per_mark) for one in matches]
