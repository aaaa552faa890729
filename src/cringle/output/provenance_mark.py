"""The letter in a ring beside a number: E entered, M measured, C computed, T trial, ? guess."""

from __future__ import annotations

from cringle.findings import PROVENANCE_LETTER, Source
from cringle.output.palette import Theme
from cringle.output.wording import html_text, typst_string

EXPLAINED = {
    Source.GUESS: "guess: nobody has tried it yet",
    Source.ENTERED: "entered by a person",
    Source.MEASURED: "measured",
    Source.COMPUTED: "computed by the model",
    Source.TRIAL: "found in a trial",
}
"""What a tap on the ring says."""

LEGEND = ", ".join(
    f"{PROVENANCE_LETTER[one]} {words.partition(':')[0].partition(' by ')[0]}"
    for one, words in EXPLAINED.items()
)
"""One line for the foot of a card."""


def provenance_svg(
    source: Source, theme: Theme, *, x: float = 8.0, y: float = 8.0, radius: float = 7.0
) -> str:
    """Return the ring as an SVG group centred at x, y; a guess has a dashed ring.

    Parameters
    ----------
    source : Source
        Where the number comes from.
    theme : Theme
        Colours.
    x, y, radius : float
        Place and size in the units of the drawing.
    """
    dash = ' stroke-dasharray="2 2"' if source is Source.GUESS else ""
    letter = html_text(PROVENANCE_LETTER[source])
    return (
        f'<g class="provenance" role="img" aria-label="{html_text(EXPLAINED[source])}">'
        f"<title>{html_text(EXPLAINED[source])}</title>"
        f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}" fill="none" stroke="{theme.ink}"{dash}/>'
        f'<text x="{x:g}" y="{y:g}" dy="0.36em" text-anchor="middle" font-size="{1.4 * radius:g}" '
        f'fill="{theme.ink}">{letter}</text></g>'
    )


def provenance_typst(source: Source, *, diameter_mm: float = 2.9) -> str:
    """Return the ring as typesetter markup; a guess has a dashed ring."""
    dash = '"dashed"' if source is Source.GUESS else '"solid"'
    letter = typst_string(PROVENANCE_LETTER[source])
    return (
        f"#box(width: {diameter_mm:g}mm, height: {diameter_mm:g}mm, radius: 50%, "
        f"stroke: (paint: black, thickness: 0.5pt, dash: {dash}), inset: 0pt, "
        f"align(center + horizon, text(size: {2.0 * diameter_mm:g}pt, {letter})))"
    )
