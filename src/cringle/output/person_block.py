"""The person block: everything one person handles tonight, in the order they would set it."""

from __future__ import annotations

from dataclasses import dataclass

from cringle.findings import Number, Source
from cringle.output.line_rule import LineRule, line_rule_svg, line_rule_typst
from cringle.output.palette import Theme
from cringle.output.provenance_mark import provenance_svg, provenance_typst
from cringle.output.wording import PLURAL, html_text, mark_text, role_text, typst_string

SMALL_PT = 14.0
"""Below this the ring beside a number is small, too."""


@dataclass(frozen=True)
class ControlRow:
    """One role's numbers.

    Parameters
    ----------
    role : str
        Role of the line, such as ``jib_sheet_leeward``.
    unit : str
        ``mark`` or ``turn``.
    low, high : float
        Ends of the scale.
    numbers : tuple of Number or None
        One per gear, in the order of the block's gears; None where the table is blank.
    next_number : float or None
        At the next wind, for the last gear.
    remark : str
        A short word about the number, such as ``at the stop``.
    """

    role: str
    unit: str
    low: float
    high: float
    numbers: tuple[Number | None, ...]
    next_number: float | None = None
    remark: str = ""

    @property
    def label(self) -> str:
        """The role in words."""
        return role_text(self.role)

    @property
    def rule(self) -> LineRule:
        """The line rule of the last gear that has a number."""
        number = next((one for one in reversed(self.numbers) if one is not None), None)
        return LineRule(self.low, self.high, number, self.next_number, self.label)


@dataclass(frozen=True)
class PersonBlock:
    """One person with their duty and their rows."""

    person: str
    duty: str
    rows: tuple[ControlRow, ...]


def person_block_html(block: PersonBlock, gears: tuple[str, ...], theme: Theme) -> str:
    """Return the block as an HTML section: a heading and one line per role with a number per gear."""
    head = f"<h3>{html_text(block.person)} <small>{html_text(block.duty)}</small></h3>"
    rows = "".join(_row_html(row, gears, theme) for row in block.rows)
    return f'<section class="person">{head}{rows}</section>'


def _row_html(row: ControlRow, gears: tuple[str, ...], theme: Theme) -> str:
    numbers = "".join(
        f"<dt>{html_text(gear)}</dt><dd>{_number_html(number, theme)}</dd>"
        for gear, number in zip(gears, row.numbers, strict=True)
    )
    remark = f'<p class="remark">{html_text(row.remark)}</p>' if row.remark else ""
    return (
        f'<div class="control"><h4>{html_text(row.label)} <small>{html_text(row.unit)}</small></h4>'
        f"<dl>{numbers}</dl>{line_rule_svg(row.rule, theme)}{remark}</div>"
    )


def _number_html(number: Number | None, theme: Theme) -> str:
    if number is None:
        return '<span class="blank">no number yet</span>'
    kind = "guess" if number.source is Source.GUESS else "number"
    ring = provenance_svg(number.source, theme)
    return f'<span class="{kind}">{mark_text(number.value)}</span><svg width="16" height="16">{ring}</svg>'


def number_typst(number: Number | None, *, size_pt: float) -> str:
    """Return a number with its ring as typesetter markup; a guess is drawn hollow, a blank as a dash."""
    if number is None:
        return f'#text(size: {size_pt:g}pt, fill: luma(90), "–")'
    look = "fill: white, stroke: 0.5pt" if number.source is Source.GUESS else "fill: black"
    figure = f'#text(size: {size_pt:g}pt, weight: "bold", {look}, {typst_string(mark_text(number.value))})'
    small = size_pt < SMALL_PT
    ring = provenance_typst(number.source, diameter_mm=2.2 if small else 2.9)
    return figure + f"#h({0.4 if small else 0.9:g}mm)" + ring


def row_typst(row: ControlRow, *, size_pt: float, height_mm: float) -> list[str]:
    """Return the cells of one row for the card's grid: name, rule, and a number per gear."""
    remark = f"#linebreak()#text(size: 6.5pt, {typst_string(row.remark)})" if row.remark else ""
    unit = "" if row.unit == "mark" else f" ({PLURAL.get(row.unit, row.unit)})"
    name = f"#text(size: 7.6pt, {typst_string(row.label + unit)})" + remark
    rule = line_rule_typst(row.rule, width_mm=21.0, height_mm=height_mm - 1.5)
    return [name, rule, *(number_typst(one, size_pt=size_pt) for one in row.numbers)]
