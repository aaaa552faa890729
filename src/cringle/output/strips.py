"""Scale strips as a PDF, true to size: lay one along a line, and every mark is where the book says."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from cringle.output.display_units import METRIC, in_display_units
from cringle.output.typst_pdf import FIGURES_FONT, compile_pdf
from cringle.output.wording import typst_string
from cringle.settings.strip_layout import CHECK_BAR_MM, END_MM, Sheet, StripPart, Tick

STRIP_MM = 22.0
"""Height of the paper strip to cut out."""

PITCH_OF_STRIPS_MM = 34.0
MOST_FIGURE_PT = 30.0
FEWEST_FIGURE_PT = 12.0
FIGURE_WIDTH_MM_PER_PT = 0.2124
"""Advance of a figure of the font: 0.602 em (1233 of 2048 units), in mm per point of size."""

WIDEST_FIGURES = 2.4
"""Room for two figures and the space between neighbours, in figure widths."""

HOW_TO = "Print at 100 %, no fitting to the page. Measure the bar: 100 mm, or do not use this sheet."


def strips_pdf(sheets: Sequence[Sheet], title: str, made: datetime, *, units: str = METRIC) -> bytes:
    """Return the sheets as a PDF; the same input and date give the same bytes."""
    return compile_pdf(strips_markup(sheets, title, made, units=units), made)


def strips_markup(sheets: Sequence[Sheet], title: str, made: datetime, *, units: str = METRIC) -> str:
    """Return the markup of all sheets; everything is placed in millimetres from the sheet's corner.

    The check bar is 100 mm whatever the display units are.
    """
    paper = sheets[0].paper
    head = (
        '#set document(title: "Cringle scale strips")\n'
        f"#set page(width: {paper.width_mm:g}mm, height: {paper.height_mm:g}mm, margin: 0mm)\n"
        f'#set text(font: "{FIGURES_FONT}", size: 8pt, fill: black, hyphenate: false)\n'
    )
    pages = [
        _sheet(sheet, units, f"{title} · {made:%Y-%m-%d} · sheet {number} of {len(sheets)}")
        for number, sheet in enumerate(sheets, start=1)
    ]
    return head + "#pagebreak()\n".join(pages)


def _place(x_mm: float, y_mm: float, what: str) -> str:
    return f"#place(top + left, dx: {x_mm:.3f}mm, dy: {y_mm:.3f}mm, {what})\n"


def _upright(x_mm: float, y_mm: float, length_mm: float, stroke: str = "0.4pt") -> str:
    """Draw a vertical stroke whose middle lies at x."""
    return _place(x_mm, y_mm, f"line(angle: 90deg, length: {length_mm:g}mm, stroke: {stroke})")


def _words(words: str, size_pt: float, *, bold: bool = False) -> str:
    weight = ', weight: "bold"' if bold else ""
    return f"text(size: {size_pt:g}pt{weight}, {typst_string(words)})"


def _sheet(sheet: Sheet, units: str, title: str) -> str:
    paper = sheet.paper
    out = [_place(paper.margin_mm, paper.margin_mm - 5.0, _words(title, 8))]
    for index, part in enumerate(sheet.parts):
        y_mm = paper.margin_mm + 6.0 + index * PITCH_OF_STRIPS_MM
        out.append(_place(paper.margin_mm, y_mm - 4.2, _words(_caption(part, units), 8, bold=True)))
        out.append(_strip(part, paper.margin_mm, y_mm))
    out.append(_check_bar(paper.margin_mm, paper.height_mm - paper.margin_mm - 6.0))
    return "".join(out)


def _check_bar(x_mm: float, y_mm: float) -> str:
    return (
        _place(x_mm, y_mm, f"line(length: {CHECK_BAR_MM:g}mm, stroke: 1pt)")
        + _upright(x_mm, y_mm - 3.0, 6.0, "0.6pt")
        + _upright(x_mm + CHECK_BAR_MM, y_mm - 3.0, 6.0, "0.6pt")
        + _place(x_mm + CHECK_BAR_MM + 4.0, y_mm - 2.0, f"box(width: 110mm, {_words(HOW_TO, 8, bold=True)})")
    )


def _strip(part: StripPart, x_mm: float, y_mm: float) -> str:
    frame = f"rect(width: {part.length_mm:.3f}mm, height: {STRIP_MM:g}mm, stroke: 0.3pt)"
    out = [_place(x_mm, y_mm, frame)]
    size_pt, every = figure_size(part)
    for tick in part.ticks:
        at = x_mm + tick.at_mm
        out.append(_upright(at, y_mm, 8.0 if tick.whole else 4.5, "0.7pt" if tick.whole else "0.45pt"))
        if _figure_shows(part, tick, every):
            box = f"box(width: 30mm, align(center, {_words(tick.label, size_pt, bold=True)}))"
            out.append(_place(at - 15.0, y_mm + 9.5, box))
    out += _joins(part, x_mm, y_mm)
    if part.datum_mm is not None:
        out.append(_place(x_mm + part.datum_mm - 1.5, y_mm + STRIP_MM - 3.0, _TRIANGLE))
        out.append(_place(x_mm + part.datum_mm + 2.0, y_mm + STRIP_MM - 3.2, _words("datum", 7)))
    return "".join(out)


def _figure_shows(part: StripPart, tick: Tick, every: int) -> bool:
    """Return whether a tick has its figure on this part: on the glued overlap only the ticks are drawn."""
    left = part.join_left_mm if part.join_left_mm is not None else 0.0
    right = part.join_right_mm if part.join_right_mm is not None else part.length_mm
    return bool(tick.label) and int(tick.mark) % every == 0 and left <= tick.at_mm <= right


_TRIANGLE = "polygon(fill: black, (0mm, 3mm), (3mm, 3mm), (1.5mm, 0mm))"


def _caption(part: StripPart, units: str) -> str:
    more = f"larger number: {part.more}"
    count = "" if part.parts == 1 else f" · part {part.part} of {part.parts}"
    pitch = in_display_units(f"{part.pitch_mm:g} mm", units)
    return f"{part.line}{count} · {pitch} a mark · {more} · datum: {part.datum}"


def figure_size(part: StripPart) -> tuple[float, int]:
    """Return the size of the figures [pt] and whether every mark, every second ... is numbered.

    The figures are as large as the pitch allows and never too small to read at arm's length.
    """
    for every in (1, 2, 5, 10):
        fits = part.pitch_mm * every / (WIDEST_FIGURES * FIGURE_WIDTH_MM_PER_PT)
        if fits >= FEWEST_FIGURE_PT * 1.4 or every == 10:
            break
    return min(MOST_FIGURE_PT, max(FEWEST_FIGURE_PT, round(fits, 1))), every


def _joins(part: StripPart, x_mm: float, y_mm: float) -> list[str]:
    out = []
    ends = ((part.join_left_mm, part.part - 1, "under"), (part.join_right_mm, part.part, "over"))
    for place, number, way in ends:
        if place is None:
            continue
        dashed = '(thickness: 0.8pt, dash: "dashed")'
        out.append(_upright(x_mm + place, y_mm - 1.0, STRIP_MM + 2.0, dashed))
        side = x_mm + place - (END_MM + 1.0 if way == "under" else -1.0)
        out.append(_place(side, y_mm + STRIP_MM - 4.0, _words(f"J{number}", 8, bold=True)))
    return out
