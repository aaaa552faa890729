"""The line rule: one control as a length of line with marks on it and a band of tape at the number.

One glance gives the number, where in its range it sits, and which way it goes at the next wind. The same
drawing is made as SVG for screens and as typesetter markup for paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.output.palette import Theme
from cringle.output.wording import html_text, mark_text

MOST_TICKS = 48
KNOT = "circle(radius: 0.6mm, fill: black)"


@dataclass(frozen=True)
class LineRule:
    """What one line rule shows.

    Parameters
    ----------
    low, high : float
        Ends of the scale, in marks or turns.
    number : Number or None
        Tonight's number; its `low` and `high` become the dashed band.
    next_number : float or None
        The number at the next wind: a hollow band with a small arrow.
    label : str
        What it is the number of, for people who cannot see the drawing.
    """

    low: float
    high: float
    number: Number | None = None
    next_number: float | None = None
    label: str = ""

    def __post_init__(self) -> None:
        if not self.low < self.high:
            raise InputError(f"line rule: low {self.low:g} must be less than high {self.high:g}")

    def place(self, value: float) -> float:
        """Return where a number sits between the ends, 0 to 1; beyond an end it sits at the end."""
        return min(1.0, max(0.0, (value - self.low) / (self.high - self.low)))

    def ticks(self) -> list[tuple[float, bool]]:
        """Return the places of ticks and whether each is a whole mark; thinned when there are too many."""
        pitch = 0.5
        while (self.high - self.low) / pitch > MOST_TICKS:
            pitch *= 2.0
        first, last = math.ceil(self.low / pitch), math.floor(self.high / pitch)
        return [
            (self.place(n * pitch), float(n * pitch).is_integer() and (pitch <= 0.5 or n % 2 == 0))
            for n in range(first, last + 1)
        ]

    @property
    def words(self) -> str:
        """The drawing in words."""
        stands = "no number" if self.number is None else f"{mark_text(self.number.value)} {self.number.unit}"
        then = "" if self.next_number is None else f", next wind {mark_text(self.next_number)}"
        head = f"{self.label}: " if self.label else ""
        return f"{head}{stands} on a scale from {mark_text(self.low)} to {mark_text(self.high)}{then}"


def _moves(rule: LineRule) -> bool:
    return rule.number is not None and rule.next_number is not None and rule.next_number != rule.number.value


def line_rule_svg(rule: LineRule, theme: Theme, *, width: float = 240.0, height: float = 40.0) -> str:
    """Return the rule as one self-contained SVG element that scales with its box.

    Parameters
    ----------
    rule : LineRule
        What to show.
    theme : Theme
        Colours; in the glare theme the tape is black with white figures.
    width, height : float
        Size of the drawing [px]; all text is at least 14 px when it is shown at this size.
    """
    margin, middle = 16.0, height / 2
    run = width - 2 * margin
    parts = [_line_svg(rule, theme, (margin, middle, run))]
    number = rule.number
    if number is not None and number.low is not None and number.high is not None:
        start, end = (margin + run * rule.place(one) for one in (number.low, number.high))
        parts.append(
            f'<rect class="band" x="{start:.1f}" y="{middle - 12:.1f}" width="{max(end - start, 2):.1f}" '
            f'height="24" fill="none" stroke="{theme.ink}" stroke-dasharray="3 3"/>'
        )
    if _moves(rule):
        parts.append(_hollow_svg(rule, theme, (margin, middle, run)))
    if number is not None:
        parts.append(_tape_svg(number, theme, margin + run * rule.place(number.value), middle))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="line-rule" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}" role="img" aria-label="{html_text(rule.words)}" '
        'font-family="system-ui, sans-serif" style="font-variant-numeric: tabular-nums">'
        + "".join(parts)
        + "</svg>"
    )


def _line_svg(rule: LineRule, theme: Theme, box: tuple[float, float, float]) -> str:
    left, middle, run = box
    ticks = "".join(
        f'<path d="M{left + run * place:.1f} {middle - size:.1f}v{2 * size:g}" stroke="{theme.fog}"/>'
        for place, whole in rule.ticks()
        for size in ((6.0,) if whole else (3.0,))
    )
    knots = "".join(
        f'<circle cx="{x:.1f}" cy="{middle:g}" r="4" fill="{theme.ink}"/>' for x in (left, left + run)
    )
    line = f'<path d="M{left:g} {middle:g}h{run:g}" stroke="{theme.ink}" stroke-width="2"/>'
    return line + ticks + knots


def _tape_svg(number: Number, theme: Theme, x: float, middle: float) -> str:
    text = mark_text(number.value)
    width = 12.0 + 9.0 * len(text)
    guess = number.source is Source.GUESS
    fill, ink = (theme.ground, theme.ink) if guess else (theme.tape, theme.on_tape)
    edge = f' stroke="{theme.ink}" stroke-dasharray="2 2"' if guess else ""
    size, weight = (14, 400) if guess else (16, 700)
    return (
        f'<rect class="tape" x="{x - width / 2:.1f}" y="{middle - 11:.1f}" width="{width:g}" height="22" '
        f'fill="{fill}"{edge}/><text x="{x:.1f}" y="{middle:g}" dy="0.36em" text-anchor="middle" '
        f'font-size="{size}" font-weight="{weight}" fill="{ink}">{text}</text>'
    )


def _hollow_svg(rule: LineRule, theme: Theme, box: tuple[float, float, float]) -> str:
    left, middle, run = box
    here = rule.place(rule.number.value) if rule.number is not None else 0.0
    there = rule.place(rule.next_number if rule.next_number is not None else rule.low)
    x, way = left + run * there, 1.0 if there >= here else -1.0
    return (
        f'<rect class="next" x="{x - 5:.1f}" y="{middle - 9:.1f}" width="10" height="18" '
        f'fill="{theme.ground}" stroke="{theme.tape}" stroke-width="2"/>'
        f'<path class="arrow" d="M{x + way * 7:.1f} {middle - 5:.1f}l{way * 6:g} 5l{-way * 6:g} 5z" '
        f'fill="{theme.tape}"/>'
    )


def line_rule_typst(rule: LineRule, *, width_mm: float = 20.0, height_mm: float = 5.0) -> str:
    """Return the rule as typesetter markup in black and white, without figures (the card has them beside it).

    Parameters
    ----------
    rule : LineRule
        What to show.
    width_mm, height_mm : float
        Size on paper [mm].
    """
    middle, edge = height_mm / 2, 1.2
    run = width_mm - 2 * edge
    parts = [f"#place(dx: {edge:g}mm, dy: {middle:g}mm, line(length: {run:g}mm, stroke: 0.8pt))"]
    for place, whole in rule.ticks():
        size = 1.2 if whole else 0.6
        parts.append(
            f"#place(dx: {edge + run * place:.2f}mm, dy: {middle - size:.2f}mm, "
            f"line(angle: 90deg, length: {2 * size:g}mm, stroke: 0.35pt))"
        )
    for x in (edge, edge + run):
        parts.append(f"#place(dx: {x - 0.6:.2f}mm, dy: {middle - 0.6:.2f}mm, {KNOT})")
    parts += _tapes_typst(rule, (edge, middle, run))
    return f"#box(width: {width_mm:g}mm, height: {height_mm:g}mm)[" + "".join(parts) + "]"


def _tapes_typst(rule: LineRule, box: tuple[float, float, float]) -> list[str]:
    left, middle, run = box
    parts = []
    if _moves(rule) and rule.next_number is not None and rule.number is not None:
        there = rule.place(rule.next_number)
        x, way = left + run * there, 1.0 if there >= rule.place(rule.number.value) else -1.0
        parts.append(
            f"#place(dx: {x - 0.7:.2f}mm, dy: {middle - 1.5:.2f}mm, "
            f"rect(width: 1.4mm, height: 3mm, fill: white, stroke: 0.6pt))"
        )
        tip = f"({way * 1.2:g}mm, 0.8mm)"
        parts.append(
            f"#place(dx: {x + way * 0.9:.2f}mm, dy: {middle - 0.8:.2f}mm, "
            f"polygon(fill: black, (0mm, 0mm), {tip}, (0mm, 1.6mm)))"
        )
    if rule.number is not None:
        x = left + run * rule.place(rule.number.value)
        guess = rule.number.source is Source.GUESS
        look = 'fill: white, stroke: (thickness: 0.6pt, dash: "densely-dotted")' if guess else "fill: black"
        tape = f"rect(width: 1.6mm, height: 3.6mm, {look})"
        parts.append(f"#place(dx: {x - 0.8:.2f}mm, dy: {middle - 1.8:.2f}mm, {tape})")
    return parts
