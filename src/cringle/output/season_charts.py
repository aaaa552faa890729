"""One measure over a season: a dot for each day, and a line where the trend is clear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np

from cringle.output.report_words import number
from cringle.output.wording import html_text

WIDTH: Final = 360.0
HEIGHT: Final = 200.0
LEFT: Final = 52.0
RIGHT: Final = 16.0
TOP: Final = 32.0
BOTTOM: Final = 44.0
DOT: Final = 4.5
ROUND: Final = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
TICKS: Final = 4
EPOCH: Final = date(1970, 1, 1)
NARROWEST_TICKS_PX: Final = 56.0
"""Dates on the axis stand no closer than this."""


@dataclass(frozen=True)
class Dots:
    """What is drawn: name and unit of the measure, and of what lies across; a place, a value and words each.

    Parameters
    ----------
    title, unit : str
        Of the measure.
    across : str
        ``days``, or the name and unit of what lies across.
    x, y : sequence of float
        Days since 1970, or numbers; and the values.
    words : sequence of str
        What each dot says when pointed at.
    line : tuple of float or None
        Change of y for one of x, where the trend is clear.
    """

    title: str
    unit: str
    across: str
    x: Sequence[float]
    y: Sequence[float]
    words: Sequence[str]
    line: float | None = None


def day_number(day: date) -> float:
    """Return the days since 1970."""
    return float((day - EPOCH).days)


def dots_svg(found: Dots) -> str:
    """Return the dots as SVG that takes its colours from the page.

    Parameters
    ----------
    found : Dots
        At least one dot.
    """
    ups = _ticks(min(0.0, *found.y), max(0.0, *found.y))
    x_low, x_high = min(found.x), max(found.x)
    room = 0.5 if x_high == x_low else 0.06 * (x_high - x_low)
    place = _Place(x_low - room, x_high + room, min(ups[0], *found.y), max(ups[-1], *found.y))
    body = [
        f'<text class="title" x="4" y="18">{html_text(f"{found.title}, {found.unit}")}</text>',
        *(_level(place, value) for value in ups),
        _across(place, found),
        _line(place, found),
        *(_dot(place, *one) for one in zip(found.x, found.y, found.words, strict=True)),
    ]
    words = html_text(f"{found.title}, {found.unit}: {len(found.x)} days")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="dots" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img"'
        f' aria-label="{words}">{"".join(body)}</svg>'
    )


@dataclass(frozen=True)
class _Place:
    """Where values land on the drawing."""

    x_low: float
    x_high: float
    y_low: float
    y_high: float

    def x(self, value: float) -> float:
        """Return the place across [px]."""
        return LEFT + (value - self.x_low) / (self.x_high - self.x_low) * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        """Return the place down [px]."""
        share = (value - self.y_low) / max(self.y_high - self.y_low, 1e-9)
        return HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP)


def _ticks(low: float, high: float) -> list[float]:
    """Return a few round values from one at or below the lowest to one at or above the highest."""
    wanted = max(high - low, 0.1) / TICKS
    step = next((one for one in ROUND if one >= wanted), ROUND[-1])
    return [float(one) * step for one in range(int(np.floor(low / step)), int(np.ceil(high / step)) + 1)]


def _level(place: _Place, value: float) -> str:
    y = place.y(value)
    kind = "axis" if value == 0.0 else "tick"
    digits = 0 if float(value).is_integer() else 1
    return (
        f'<path class="{kind}" d="M{LEFT:g} {y:.1f}H{WIDTH - RIGHT:g}"/>'
        f'<text x="{LEFT - 6:g}" y="{y + 5:.1f}" text-anchor="end">{number(value, digits)}</text>'
    )


def _across(place: _Place, found: Dots) -> str:
    """Return the axis across: dates, or round numbers with what they are."""
    y = HEIGHT - BOTTOM
    if found.across == "days":
        marks = [(one, f"{_day(one).day} {_day(one):%b}") for one in _dates(place, found.x)]
    else:
        marks = [
            (one, f"{one:g}")
            for one in _ticks(place.x_low, place.x_high)
            if place.x_low <= one <= place.x_high
        ]
    drawn = [
        f'<path class="axis" d="M{place.x(at):.1f} {y:.1f}v5"/>'
        f'<text x="{place.x(at):.1f}" y="{y + 20:.1f}" text-anchor="middle">{words}</text>'
        for at, words in marks
    ]
    name = "" if found.across == "days" else html_text(found.across)
    label = (
        f'<text x="{0.5 * (LEFT + WIDTH - RIGHT):.1f}" y="{HEIGHT - 6:g}" text-anchor="middle">{name}</text>'
    )
    return "".join([*drawn, label if name else ""])


def _day(number_of_day: float) -> date:
    return EPOCH + timedelta(days=round(number_of_day))


def _dates(place: _Place, days: Sequence[float]) -> list[float]:
    """Return the days that get their date: the first, and each far enough from the one before."""
    kept: list[float] = []
    for one in sorted(set(days)):
        if not kept or place.x(one) - place.x(kept[-1]) >= NARROWEST_TICKS_PX:
            kept.append(one)
    return kept


def _line(place: _Place, found: Dots) -> str:
    if found.line is None:
        return ""
    middle_x, middle_y = float(np.mean(found.x)), float(np.mean(found.y))
    ends = [(one, middle_y + found.line * (one - middle_x)) for one in (min(found.x), max(found.x))]
    (x0, y0), (x1, y1) = ((place.x(a), place.y(b)) for a, b in ends)
    return f'<path class="fit" d="M{x0:.1f} {y0:.1f}L{x1:.1f} {y1:.1f}"/>'


def _dot(place: _Place, x: float, y: float, words: str) -> str:
    return (
        f'<circle class="dot" cx="{place.x(x):.1f}" cy="{place.y(y):.1f}" r="{DOT:g}">'
        f"<title>{html_text(words)}</title></circle>"
    )
