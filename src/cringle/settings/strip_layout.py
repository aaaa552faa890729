"""Where everything goes on a sheet of scale strips, in millimetres on paper. No drawing here.

A strip is a length of paper laid along a line of the boat: whole marks with numbers, half marks between
them. One that is longer than the sheet is cut into parts with a join line on both neighbours: cut one
sheet along its join line and lay it on the other's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cringle.boat.boat_file import Control
from cringle.errors import InputError

END_MM = 8.0
"""Paper before the first and after the last mark."""

GLUE_MM = 10.0
"""Overlap beyond a join line, to glue on."""

BESIDE_HALF_MM = 2.0
"""A cut lies this far beside a half mark: on no tick, and as far from the figures as can be."""

MOST_SHEETS = 40
CHECK_BAR_MM = 100.0


@dataclass(frozen=True)
class Paper:
    """A sheet, lying: size and margin [mm]."""

    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = 12.0

    @property
    def usable_mm(self) -> float:
        """Length of the longest part of a strip."""
        return self.width_mm - 2 * self.margin_mm


PAPERS = {
    "a4": Paper("a4", 297.0, 210.0),
    "letter": Paper("letter", 279.4, 215.9),
}
"""ISO 216 A4 and ANSI/ASME Y14.1 size A (letter)."""


@dataclass(frozen=True)
class Tick:
    """One tick: place from the start of its part [mm], mark, and the number written at whole marks."""

    at_mm: float
    mark: float
    whole: bool
    label: str


@dataclass(frozen=True)
class StripPart:
    """One piece of one strip, as it lies on a sheet.

    `start_mm` is where the part begins along the whole strip. `join_left_mm` and `join_right_mm` are
    places of join lines from the start of the part, None at the strip's own ends. `datum_mm` is the
    place of the control's datum when it lies on this part.
    """

    line: str
    control: str
    datum: str
    more: str
    part: int
    parts: int
    start_mm: float
    length_mm: float
    ticks: tuple[Tick, ...]
    join_left_mm: float | None
    join_right_mm: float | None
    datum_mm: float | None
    pitch_mm: float


@dataclass(frozen=True)
class Sheet:
    """The parts that go on one sheet of paper."""

    paper: Paper
    parts: tuple[StripPart, ...]


def paper_named(name: str) -> Paper:
    """Return a paper size by its name.

    Raises
    ------
    InputError
        Not one of ours.
    """
    if name.lower() not in PAPERS:
        raise InputError(f"no paper {name!r}", next_step=f"choose one of: {', '.join(PAPERS)}")
    return PAPERS[name.lower()]


def half_marks(low: float, high: float) -> list[float]:
    """Return every whole and half mark from low to high."""
    first, last = math.ceil(low * 2 - 1e-9), math.floor(high * 2 + 1e-9)
    return [n / 2 for n in range(first, last + 1)]


def cuts(length_mm: float, usable_mm: float, wish_mm: Sequence[float]) -> list[float]:
    """Return where a strip is cut, along the strip, the ends included.

    Parameters
    ----------
    length_mm : float
        Length of the whole strip.
    usable_mm : float
        Longest part, glue included.
    wish_mm : sequence of float
        Places midway between whole marks, where a cut does not go through a number.
    """
    places, reach = [0.0], usable_mm - GLUE_MM
    while length_mm - places[-1] > (reach if len(places) == 1 else reach - GLUE_MM) + GLUE_MM:
        start = places[-1]
        limit = start + (reach if len(places) == 1 else reach - GLUE_MM)
        good = [one for one in wish_mm if start + reach / 2 < one <= limit]
        places.append(max(good, default=limit))
    return [*places, length_mm]


def lay_strip(control: Control, line: str, paper: Paper) -> list[StripPart]:
    """Return the parts of the strip of one line, in order.

    Raises
    ------
    InputError
        The line is so long that nobody would print it; the message says what to do.
    """
    marks = half_marks(control.low, control.high)
    origin_mm = control.to_mm(marks[0]) - END_MM
    length_mm = control.to_mm(marks[-1]) - origin_mm + END_MM
    beside = min(control.mm_per_mark / 4.0, BESIDE_HALF_MM)
    halves = [mark for mark in marks if not float(mark).is_integer()]
    wish = [control.to_mm(mark) - origin_mm + beside for mark in halves]
    places = cuts(length_mm, paper.usable_mm, wish)
    if len(places) - 1 > MOST_SHEETS:
        raise InputError(
            f"{control.id}: a strip of {length_mm / 1000:.1f} m needs {len(places) - 1} sheets",
            next_step="mark such a line with a tape measure, or give it a shorter scale",
        )
    return list(_parts(control, line, places, origin_mm))


def _parts(control: Control, line: str, places: Sequence[float], origin_mm: float) -> Iterator[StripPart]:
    count = len(places) - 1
    for index in range(count):
        left_glue = GLUE_MM if index else 0.0
        right_glue = GLUE_MM if index < count - 1 else 0.0
        start = places[index] - left_glue
        length = places[index + 1] + right_glue - start
        datum_at = -origin_mm - start
        yield StripPart(
            line=line,
            control=control.id,
            datum=control.datum,
            more=control.more,
            part=index + 1,
            parts=count,
            start_mm=start,
            length_mm=length,
            ticks=tuple(_ticks(control, origin_mm + start, length)),
            join_left_mm=left_glue or None,
            join_right_mm=length - right_glue if right_glue else None,
            datum_mm=datum_at if -1e-6 <= datum_at <= length + 1e-6 else None,
            pitch_mm=control.mm_per_mark,
        )


def _ticks(control: Control, start_mm: float, length_mm: float) -> Iterator[Tick]:
    for mark in half_marks(control.low, control.high):
        at = control.to_mm(mark) - start_mm
        if -1e-6 <= at <= length_mm + 1e-6:
            whole = float(mark).is_integer()
            yield Tick(at, mark, whole, f"{mark:g}".replace("-", "−") if whole else "")


def lay_sheets(parts: Sequence[StripPart], paper: Paper, *, strip_height_mm: float = 34.0) -> list[Sheet]:
    """Return the sheets: as many parts under each other as fit above the check bar."""
    room = paper.height_mm - 2 * paper.margin_mm - 24.0
    each = max(1, math.floor(room / strip_height_mm))
    return [Sheet(paper, tuple(parts[start : start + each])) for start in range(0, len(parts), each)]
