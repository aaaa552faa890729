"""The line rule in letters: a length of line with ticks, a knot at each end and tape at the number."""

from __future__ import annotations

import textwrap

from cringle.findings import PROVENANCE_LETTER, Number, Source
from cringle.output.wording import mark_text

WIDTH = 80
"""Columns of a page of text."""

KNOT, LINE, TICK, TAPE, GUESS_TAPE, LOWER, HIGHER = "o", "─", "┼", "█", "?", "<", ">"
"""Ends, line, mark, tape at a number, tape at a guess, and where the number goes at the next wind."""

ROOM_PER_TICK = 2
TICK_STEPS = (1, 2, 5, 10, 20, 50, 100)
"""Marks between ticks, the smallest that leaves room."""


def line_rule_text(
    low: float, high: float, number: Number | None, *, following: float | None = None, width: int = 27
) -> str:
    """Return a control as a line of letters.

    Parameters
    ----------
    low, high : float
        Ends of the scale.
    number : Number or None
        Where the tape goes; a guess gets a question mark instead of tape.
    following : float, optional
        The number at the next wind.
    width : int
        Most letters, knots included; fewer are used where that puts every mark on a letter.

    Examples
    --------
    >>> line_rule_text(0, 4, Number(1.0, "mark", Source.ENTERED), following=3.0, width=11)
    'o┼─█─┼─>─┼o'
    """
    inner = [LINE] * _letters(low, high, width - 2)
    for tick in _ticks(low, high, len(inner)):
        inner[_place(tick, low, high, len(inner))] = TICK
    if following is not None and number is not None and following != number.value:
        inner[_place(following, low, high, len(inner))] = HIGHER if following > number.value else LOWER
    if number is not None:
        tape = GUESS_TAPE if number.source is Source.GUESS else TAPE
        inner[_place(number.value, low, high, len(inner))] = tape
    return KNOT + "".join(inner) + KNOT


def _letters(low: float, high: float, room: int) -> int:
    """Return how many letters to use between the knots: a whole number of them to a mark where it can be."""
    a_mark = (room - 1) // (high - low)
    letters = a_mark * (high - low) + 1
    return int(letters) if a_mark >= 1 and float(letters).is_integer() else room


def _place(value: float, low: float, high: float, letters: int) -> int:
    share = min(1.0, max(0.0, (value - low) / (high - low)))
    return int(share * (letters - 1) + 0.5)


def _ticks(low: float, high: float, letters: int) -> list[float]:
    room = (letters - 1) / (high - low)
    step = next((one for one in TICK_STEPS if one * room >= ROOM_PER_TICK), TICK_STEPS[-1])
    first = int(-(-low // step))
    return [float(mark) for mark in range(first * step, int(high // 1) + 1, step)]


def ring(number: Number) -> str:
    """Return the provenance of a number as its letter in a ring."""
    return f"({PROVENANCE_LETTER[number.source]})"


def number_text(number: Number) -> str:
    """Return a number with its ring; a guess has a wavy sign before it as well."""
    wave = "~" if number.source is Source.GUESS else ""
    return f"{wave}{mark_text(number.value)} {ring(number)}"


def wrapped(label: str, text: str, *, indent: int = 9) -> str:
    """Return a labelled paragraph no wider than the page."""
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=f"{label:<{indent}}",
        subsequent_indent=" " * indent,
        break_long_words=True,
        break_on_hyphens=False,
    )
